using BackyardSentinel.Garden;

namespace BackyardSentinel.Configuration;

/// <summary>A planting's chill and heat needs as the core counts them.</summary>
internal static class PlantingNeeds
{
    /// <summary>The needs of a planting whose stages are followed.</summary>
    public static StageNeeds Of(GardenPlanting planting)
    {
        var chill = planting.ChillModel switch
        {
            "utah" => ChillModel.Utah,
            "positive-utah" => ChillModel.PositiveUtah,
            "hours" => ChillModel.Hours,
            _ => ChillModel.Portions,
        };
        var heat = planting.HeatFunction switch
        {
            "asymcur" => HeatFunction.Asymcur,
            "linear-4.5" => HeatFunction.Linear45,
            _ => HeatFunction.Linear47,
        };
        var standard = StageNeeds.Default;
        if (planting.HeatNeeds is null && chill == standard.Chill && planting.ChillNeed == standard.ChillNeed)
            return standard;
        IReadOnlyList<StageNeed> stages = planting.HeatNeeds is { } needs ? Stages(needs) : standard.Stages;
        return StageNeeds.TryCreate(chill, planting.ChillNeed, heat, stages, StageNeeds.DefaultSpread, out var made, out var reason)
            ? made
            : throw new InvalidOperationException($"The garden file let needs through that cannot be: {reason}");
    }

    /// <summary>
    /// The grower names four stages; those between stand where the published needs have them. Leaf buds are paired with
    /// flower buds as there. Assumed.
    /// </summary>
    private static StageNeed[] Stages(GardenHeatNeeds needs)
    {
        var bursting = needs.Swell + (needs.GreenTip - needs.Swell) * (1385 - 786) / (2557 - 786);
        var fullBloom = (needs.FirstBloom + needs.PetalFall) / 2;
        return
        [
            Need(1, 51, needs.Swell), Need(3, 53, bursting), Need(9, 57, needs.GreenTip),
            Need(10, 60, needs.FirstBloom), Need(11, 65, fullBloom), Need(19, 69, needs.PetalFall),
        ];
    }

    private static StageNeed Need(int leaf, int flower, double degreeHours) => new(BudStage.From(leaf), BudStage.From(flower), degreeHours);
}
