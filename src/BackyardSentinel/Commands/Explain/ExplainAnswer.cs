using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Explain;

/// <summary>An explanation in one sentence a site: how its plantings stand, and what to do.</summary>
internal static class ExplainAnswer
{
    private const string Names = "{names}";

    /// <summary>The sentence; plantings of which the same is to be said are named together.</summary>
    public static string Of(ExplainScene scene, IReadOnlyList<PlantingWatch> plantings)
    {
        var said = plantings
            .GroupBy(planting => For(scene, planting))
            .Select(same =>
                same.Key.Replace(Names, string.Join(" and ", same.Select(one => one.Planting.Called)), StringComparison.Ordinal));
        var sentence = string.Join("; ", said);
        return sentence.Length == 0 ? "There is no planting here." : char.ToUpperInvariant(sentence[0]) + sentence[1..] + ".";
    }

    private static string For(ExplainScene scene, PlantingWatch planting)
    {
        var risk = planting.Risk;
        if (risk.Level == Level.Unknown)
            return $"nobody can tell how it stands with {Names}: "
                + $"too little has come from the sensors{(risk.Since is { } since ? $" since {scene.Local(since)}" : "")}";
        var doubt = risk.Uncertain ? ", uncertain, since weather data are missing or doubted" : "";
        if (risk.Level >= Level.Possible)
            return $"curl weather is {risk.Level.Word()} on "
                + $"{Names}{(risk.Since is { } from ? $" since {scene.Local(from)}" : "")}{doubt}; spraying now does not undo it, "
                + "look for curl on the days below";
        if (risk.Level == Level.Building)
            return $"a wet spell is building up on {Names}{doubt}, and nothing is infected yet";
        if (risk is { Susceptibility: > 0, Sheltered: true })
            return planting.Shelter.IsOnWithSensor
                ? $"no wetness that infects is under way beneath the rain shelter over {Names}{doubt}"
                : $"the rain shelter keeps rain off {Names}{doubt}";
        if (risk.Susceptibility == 0)
            return planting.Stage.Open.ClosedOn is not null
                ? $"{Names} can no longer be infected this season{doubt}"
                : $"{Names} cannot be infected yet: the leaf buds are shut{doubt}";
        return $"no weather that infects {Names} is under way{doubt}";
    }
}
