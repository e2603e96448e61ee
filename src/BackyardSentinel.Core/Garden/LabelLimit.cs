using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Garden;

/// <summary>What a product's label limits. <c>null</c> always means that the label says nothing.</summary>
public sealed record LabelLimit
{
    /// <summary>Most applications in a season.</summary>
    public int? MaxApplicationsPerSeason { get; init; }

    /// <summary>Most metallic copper in a season, kg per hectare of treated area.</summary>
    public double? MaxCopperKgPerHaPerSeason { get; init; }

    /// <summary>Fewest days from one application to the next.</summary>
    public int? MinDaysBetween { get; init; }

    /// <summary>First BBCH stage at which it may be used, 0–99; 91–99 (leaf fall) lie before 00.</summary>
    public int? FirstStage { get; init; }

    /// <summary>Last BBCH stage at which it may be used, 0–99.</summary>
    public int? LastStage { get; init; }

    /// <summary>Lowest air temperature while spraying, °C.</summary>
    public double? MinTemperatureC { get; init; }

    /// <summary>Highest air temperature while spraying, °C.</summary>
    public double? MaxTemperatureC { get; init; }

    /// <summary>Time without rain needed before, h.</summary>
    public double? DryBeforeH { get; init; }

    /// <summary>Time without rain needed after, h.</summary>
    public double? DryAfterH { get; init; }

    /// <summary>Time without frost needed before, h.</summary>
    public double? FrostFreeBeforeH { get; init; }

    /// <summary>Time without frost needed after, h.</summary>
    public double? FrostFreeAfterH { get; init; }

    /// <summary>Lowest wind speed, m/s.</summary>
    public double? MinWindMs { get; init; }

    /// <summary>Highest wind speed, m/s.</summary>
    public double? MaxWindMs { get; init; }

    /// <summary>Kinds it must not be used on: peach, nectarine, almond, apricot.</summary>
    public IReadOnlyList<TreeKind> ExcludedKinds { get; init; } = [];

    /// <summary>Time to stay away after spraying, h.</summary>
    public double? ReEntryH { get; init; }

    /// <summary>Days between the last application and harvest.</summary>
    public int? PreHarvestDays { get; init; }

    /// <summary>
    /// Days to keep between it and oil, or for an oil between it and what hurts with oil; see <see
    /// cref="ActiveIngredients.DaysFromOil"/>.
    /// </summary>
    public int? DaysFromOil { get; init; }

    /// <summary>What cannot be true together or at all, one sentence each.</summary>
    /// <param name="units">The grower's units.</param>
    internal IEnumerable<Sentence> Contradictions(UnitSystem units)
    {
        foreach (var (name, value) in Amounts())
        {
            if (value is { } v && (!double.IsFinite(v) || v < 0))
                yield return $"{name} is {v}; give a number from 0 up, or leave it out.";
        }

        foreach (var (name, stage) in new (Sentence, int?)[] { ($"first stage", FirstStage), ($"last stage", LastStage) })
        {
            if (stage is < 0 or > 99)
                yield return $"The {name} is {stage.Value}; BBCH codes lie within 0 to 99.";
        }

        if (
            FirstStage is >= 0 and <= 99
            && LastStage is >= 0 and <= 99
            && SprayStage.Rank(FirstStage.Value) > SprayStage.Rank(LastStage.Value))
            yield return $"The first stage {FirstStage.Value:00} comes after the last stage {LastStage.Value:00}; "
                + $"swap them or correct one.";
        if (MinTemperatureC is { } low && MaxTemperatureC is { } high && !(low <= high))
            yield return $"The lowest temperature {new Figure(units.Temperature(low))} lies above the highest "
                + $"{new Figure(units.Temperature(high))}; swap them or correct one.";
        if (MinWindMs is { } calm && MaxWindMs is { } windy && !(calm <= windy))
            yield return $"The lowest wind {new Figure(units.Wind(calm))} lies above the highest {new Figure(units.Wind(windy))}; "
                + $"swap them or correct one.";
    }

    private IEnumerable<(Sentence Name, double? Value)> Amounts() =>
    [
        ($"The number of applications per season", MaxApplicationsPerSeason),
        ($"The copper per season", MaxCopperKgPerHaPerSeason),
        ($"The number of days between applications", MinDaysBetween),
        ($"The dry time before", DryBeforeH),
        ($"The dry time after", DryAfterH),
        ($"The frost-free time before", FrostFreeBeforeH),
        ($"The frost-free time after", FrostFreeAfterH),
        ($"The lowest wind", MinWindMs),
        ($"The highest wind", MaxWindMs),
        ($"The re-entry time", ReEntryH),
        ($"The number of days before harvest", PreHarvestDays),
        ($"The number of days from oil", DaysFromOil),
    ];
}
