using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Units;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Explain;

/// <summary>Says what would change a planting's level, from where the driving rule stands.</summary>
internal static class ExplainChange
{
    /// <summary>How far ahead longer wetness is looked at; the assumed dose hardly rises past it, hours.</summary>
    private const double LongestWetHours = 72;

    /// <summary>A sentence for each way.</summary>
    public static IEnumerable<string> Lines(ExplainScene scene, PlantingWatch planting)
    {
        var risk = planting.Risk;
        if (risk.Level == Level.Unknown)
        {
            yield return scene.Site.LevelRule == RuleName.RainDay && !scene.Site.HasRainGauge
                ? "A rain gauge: without one the rule rain-day cannot judge."
                : planting.Shelter.IsOnWithSensor ? "Readings of temperature and of the sensor under the rain shelter end the unknown."
                : "Readings of temperature and of rain, humidity or leaf wetness end the unknown.";
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

        var lines = scene.Site.LevelRule switch
        {
            RuleName.RainDay => RainDay(risk.OpenWindows, planting, scene.Units),
            RuleName.TwoDay => TwoDay(risk.OpenWindows, planting, scene.Units),
            RuleName.WetHours => WetHours(scene, planting),
        };
        foreach (var line in lines)
            yield return line;
        if (risk.Susceptibility == 1 && planting.Stage.Model is not null)
            yield return "Petal fall (BBCH 69) halves what a window counts.";
    }

    private static IEnumerable<string> WetHours(ExplainScene scene, PlantingWatch planting)
    {
        var site = scene.Watch.Site;
        if (planting.Risk.Spell is not { } spell)
        {
            yield return planting.Shelter.IsOn ? "Wetness at the sensor under the rain shelter starts a wet spell, and the level builds."
            : site.HasRainGauge && !site.SpellStartsOnAnyWetness ? "Rain starts a wet spell, and the level builds."
            : "Any wetness starts a wet spell, and the level builds.";
            yield break;
        }

        var over = scene.Local(spell.End + WetSpellTracker.LongestGap);
        if (planting.Risk.OpenWindows.Any(window => window.Rule == RuleName.WetHours))
        {
            if (MoreHours(spell, planting.Risk) is var (hours, level))
                yield return $"{ExplainWords.Lack(hours)} more wet hours at this mean make it {level.Word()} (assumed curve).";
            yield return $"Drying for more than 4 h closes the window: past {over} if nothing is wet until then.";
            yield break;
        }

        var rule = planting.Rules.Single(one => one.Name == RuleName.WetHours);
        var asked = rule.Explain(spell, scene.Units)
            .Where(condition => condition.Lack is > 0)
            .Select(condition =>
                condition.Unit == "h"
                    ? $"{ExplainWords.Lack(condition.Lack!.Value)} more wet hours"
                    : $"{ExplainWords.Lack(condition, scene.Units)} more rain")
            .ToList();
        if (spell.MeanTempC >= WetHoursRule.MaxMeanTempC)
            yield return $"The mean while wet is {scene.Units.Temperature(WetHoursRule.MaxMeanTempC)} or more: {(asked.Count > 0 ? $"{string.Join(" and ", asked)} and cooling below that" : "cooling below that")} would open a window.";
        else if (asked.Count > 0)
            yield return $"{string.Join(" and ", asked)} at a mean below {scene.Units.Temperature(WetHoursRule.MaxMeanTempC)} open a window; warming to {scene.Units.Temperature(WetHoursRule.MaxMeanTempC)} or above keeps it shut.";
        yield return $"Drying for more than 4 h ends the spell: past {over} if nothing is wet until then.";
    }

    private static IEnumerable<string> RainDay(IReadOnlyList<InfectionWindow> open, PlantingWatch planting, UnitSystem units)
    {
        if (open.Any(window => window.Rule == RuleName.RainDay))
            return ["Midnight closes the window."];
        return Asked(
            planting,
            RuleName.RainDay,
            $"before midnight, with a maximum above {units.Temperature(RainDayRule.MaxTempAboveC)},",
            units);
    }

    private static IEnumerable<string> TwoDay(IReadOnlyList<InfectionWindow> open, PlantingWatch planting, UnitSystem units)
    {
        if (open.Any(window => window.Rule == RuleName.TwoDay))
            return
            [
                $"More than 1 h that is dry, colder than {units.Temperature(TwoDayRule.MinTempC)} or warmer than {units.Temperature(TwoDayRule.MaxTempC)} closes the window.",
            ];
        return Asked(planting, RuleName.TwoDay, "of the same kind", units);
    }

    private static IEnumerable<string> Asked(PlantingWatch planting, RuleName name, string how, UnitSystem units) =>
        planting
            .Rules.Single(rule => rule.Name == name)
            .Explain(null, units)
            .Where(condition => condition.Lack is not null)
            .Select(condition => $"{ExplainWords.Lack(condition, units)} more {how} open a window ({condition.What}).");

    /// <summary>So many more wet hours lift the level at the present mean temperature.</summary>
    private static (double Hours, Level Level)? MoreHours(WetSpell spell, PlantingRisk risk)
    {
        for (var more = 0.1; spell.WetHours + more <= LongestWetHours; more += 0.1)
        {
            var level = WetHoursRule.LevelOf(WetHoursRule.Dose(spell with { WetHours = spell.WetHours + more }, risk.Susceptibility));
            if (level > risk.Level)
                return (more, level);
        }

        return null;
    }
}
