using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Tuning;
using BackyardSentinel.Units;

namespace BackyardSentinel.Commands.Tune;

/// <summary>Limits as the garden file writes them.</summary>
internal static class TuneWords
{
    /// <summary>A limit of a set, in the garden's units.</summary>
    public static string Figure(LimitAxis axis, LimitSet set, UnitSystem units)
    {
        var figure = axis.Of(set);
        return axis.Word switch
        {
            "rain" => units == UnitSystem.Metric ? $"{Plain(figure)} mm" : units.Rain(figure),
            "temperature" or "full_temperature" or "lowest_temperature" => units.Temperature(figure),
            "dry_gap" => UnitSystem.Hours(figure),
            "humidity" or "wet_humidity" => UnitSystem.Share(figure),
            "wetness_estimator" => set.Spell.Estimator.Word(),
            "start_on" => StartOn(set),
            _ => UnitSystem.Hours(figure),
        };
    }

    /// <summary>The word of what starts a spell.</summary>
    public static string StartOn(LimitSet set) => set.Spell.StartsOnAnyWetness ? "wet" : "rain";

    /// <summary>
    /// An entry for <c>rules</c> with the limits found, from the day after the log on, and what of them belongs to the site.
    /// </summary>
    public static string Block(TuneResult result)
    {
        var (best, now, variant) = (result.Best, result.Now, result.Site.VariantOf(result.Choice.Rule));
        var name = variant is null ? Unused(result.Site) : result.Choice.Rule;
        List<string> lines =
        [
            "rules:",
            $"  - name: {name}",
            $"    variant_of: {best.Rule.Rule.Word()}",
            $"    from: {result.NextDay.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)}",
            .. OfRule(best.Rule).Select(one => $"    {one.Key}: {one.Value}"),
        ];
        List<string> site = [];
        if (variant is null && GivesLevel(result))
            site.Add($"level_rule: {name}");
        if (best.Spell.LongestGap != now.Spell.LongestGap)
            site.Add($"dry_gap: {Span(best.Spell.LongestGap)}");
        if (best.Spell.WetHumidityPct != now.Spell.WetHumidityPct)
            site.Add($"wet_humidity: {Plain(best.Spell.WetHumidityPct)}");
        if (best.Spell.Estimator != now.Spell.Estimator)
            site.Add($"wetness_estimator: {best.Spell.Estimator.Word()}");
        if (best.Spell.StartsOnAnyWetness != now.Spell.StartsOnAnyWetness)
            site.Add($"start_on: {StartOn(best)}");
        if (site.Count > 0)
            lines.AddRange(
            [
                $"# and at the site {result.Site.Id}, where they hold for what was judged before, too:",
                .. site.Select(line => $"#   {line}"),
            ]);
        if (!GivesLevel(result))
            lines.Add(
                $"# The level at {result.Site.Id} still comes from {result.Site.LevelRule}; 'replay --compare' sets both side by side.");
        if (result.Choice.Level > Level.Possible)
            lines.Add(
                $"# Only windows that came to {result.Choice.Level.Word()} were scored: write 'least_level: {result.Choice.Level.Word()}' "
                + "under alerts, or messages come of all.");
        return string.Join('\n', lines) + "\n";
    }

    /// <summary>The limits found may take the place of those that give the level: they were compared with them and did better.</summary>
    private static bool GivesLevel(TuneResult result) =>
        result.Answer.Verdict.Recommended && result.Choice.Rule == result.Site.LevelRule;

    /// <summary>A name that no rule has yet.</summary>
    private static string Unused(Site site)
    {
        var name = "tuned";
        for (var number = 2; site.RuleNames.Contains(name); number++)
            name = string.Create(CultureInfo.InvariantCulture, $"tuned-{number}");
        return name;
    }

    private static IEnumerable<(string Key, string Value)> OfRule(RuleLimits limits) => limits switch
    {
        WetHoursLimits wet =>
        [
            ("rain", $"{Plain(wet.MinRainMm)} mm"),
            ("wet_hours", Plain(wet.MinWetHours)),
            ("temperature", $"{Plain(wet.MaxMeanTempC)} °C"),
            ("full_wet_hours", Plain(wet.FullWetHours)),
            ("full_temperature", $"{Plain(wet.FullTempC)} °C"),
        ],
        RainDayLimits rain => [("rain", $"{Plain(rain.RainAboveMm)} mm"), ("temperature", $"{Plain(rain.MaxTempAboveC)} °C")],
        TwoDayLimits two =>
        [
            ("wet_hours", Plain(two.LikelyHours)),
            ("severe_hours", Plain(two.SevereHours)),
            ("lowest_temperature", $"{Plain(two.MinTempC)} °C"),
            ("temperature", $"{Plain(two.MaxTempC)} °C"),
            ("humidity", Plain(two.MinHumidityPct)),
            ("dry_gap", Span(two.LongestBreak)),
        ],
        _ => throw new InvalidOperationException("There is no such rule."),
    };

    private static string Span(TimeSpan gap) => string.Create(CultureInfo.InvariantCulture, $"{(int)gap.TotalMinutes}m");

    private static string Plain(double figure) => figure.ToString("0.######", CultureInfo.InvariantCulture);
}
