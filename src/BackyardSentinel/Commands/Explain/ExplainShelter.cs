using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Explain;

/// <summary>
/// Explains a planting's rain shelter: since when it is on, what the sensor under it says, and what the open sky would have given.
/// </summary>
internal static class ExplainShelter
{
    /// <summary>A sentence each; none where no shelter is on.</summary>
    public static IEnumerable<string> Lines(ExplainScene scene, PlantingWatch planting)
    {
        if (planting.Shelter.OnSince(scene.Today) is not { } since)
            yield break;
        yield return $"On since {ExplainWords.Day(since)}, by your journal: rain does not count here until you note it "
            + "off (journal add shelter off).";
        if (planting.Shelter.IsOnWithSensor)
        {
            yield return Sensor(scene.Watch.LastInterval!.Value);
            if (planting.Risk.Spell is { } spell)
                yield return $"Wet spell under it: {ExplainLevel.Sentence(scene, spell, "rain not measured there")}";
        }

        var kept = planting.KeptOff;
        var worth = kept.Count switch
        {
            0 => "no window has been kept off so far",
            1 => $"one window has been kept off, of {scene.Local(kept[0].OpenedAt)}",
            _ => string.Create(
                CultureInfo.InvariantCulture,
                $"{kept.Count} windows have been kept off, the last of {scene.Local(kept[^1].OpenedAt)}"),
        };
        yield return planting.OpenSkyLevel is Level.Unknown
            ? $"What the open sky would give is not known; {worth}."
            : $"Under the open sky the level would be {planting.OpenSkyLevel!.Value.Word()}; {worth} (rule {scene.Site.LevelRule}).";
    }

    private static string Sensor(in WeatherInterval last) => last.ShelterWetCoverage < WetnessJudge.MinLeafWetCoverage
        ? "The sensor under it says too little now: whether it is wet there is not known."
        : last.ShelterWetShare > 0 ? "The sensor under it says wet." : "The sensor under it says dry.";
}
