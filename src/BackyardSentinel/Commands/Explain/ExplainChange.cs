using BackyardSentinel.Infection;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Explain;

/// <summary>Says what would change a planting's level, from where the driving rule stands.</summary>
internal static class ExplainChange
{
    /// <summary>A sentence for each way.</summary>
    public static IEnumerable<string> Lines(ExplainScene scene, PlantingWatch planting)
    {
        var risk = planting.Risk;
        var rule = planting.Rules.Single(one => one.Name == scene.Site.LevelRule);
        if (risk.Level == Level.Unknown)
        {
            yield return rule.Lacks
                ?? (planting.Shelter.IsOnWithSensor
                    ? "Readings of temperature and of the sensor under the rain shelter end the unknown."
                    : "Readings of temperature and of rain, humidity or leaf wetness end the unknown.");
            yield break;
        }

        if (risk.Susceptibility == 0)
        {
            yield return planting.Stage.Open.ClosedOn is not null
                ? "Nothing before the next season's buds swell."
                : "A stage from bud swell (BBCH 01) on, computed or seen by you, opens the tissue; weather alone does not.";
            yield break;
        }

        if (planting.Shelter is { IsOn: true, IsOnWithSensor: false })
        {
            yield return "Nothing while the rain shelter is on; once it is off, and noted off, rain counts.";
            yield break;
        }

        foreach (var line in rule.Change(risk, scene.Site))
            yield return line;
        if (risk.Susceptibility == 1 && planting.Stage.Model is not null)
            yield return "Petal fall (BBCH 69) halves what a window counts.";
    }
}
