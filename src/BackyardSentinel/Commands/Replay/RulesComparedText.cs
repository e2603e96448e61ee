using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Tuning;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Writes the rules side by side: the counts, and the wet spells on which they part.</summary>
internal static class RulesComparedText
{
    /// <summary>Writes it.</summary>
    public static void Write(RulesCompared compared, Site site, TextWriter output)
    {
        output.WriteLine("\nThe rules side by side:");
        output.WriteLine();
        var scored = compared.Rules.Any(rule => rule.Verified is not null);
        var width = Math.Max("rule".Length, compared.Rules.Max(rule => rule.Name.Length));
        output.WriteLine(
            $"  {"rule".PadRight(width)} {"windows",8}"
                + (scored ? $" {"hits",6} {"false alarms",13} {"misses",7} {"unverified",11} {"clean",6}" : "")
                + (scored ? $" {"POD",5} {"FAR",5} {"CSI",5} {"Peirce",7}" : ""));
        foreach (var rule in compared.Rules)
            output.WriteLine($"  {rule.Name.PadRight(width)} {rule.Windows,8}{(rule.Verified is { } verified ? Scores(verified) : "")}");
        if (scored)
            output.WriteLine(
                "\nFew windows prove little: read the counts before the scores. Clean: looks that found none and belong to no window.");
        if (compared.Rules.Any(rule => rule.Verified?.Blameless > 0))
            output.WriteLine(
                "Curl that was found blames no rule where too little of the weather 9 to 33 days before was measured, "
                + "or nothing on the tree could be infected.");

        var spells = compared.Spells.Where(row => row.Spell is not null).ToList();
        output.WriteLine(
            $"\n{Rows(compared.Spells.Count)}: all open a window in {compared.Spells.Count(row => !row.Parts && row.Opened > 0)}, "
                + $"none in {compared.Spells.Count(row => row.Opened == 0)}; they part in {compared.Spells.Count(row => row.Parts)}"
                + $"{(compared.Spells.Any(row => row.Parts) ? ":" : ".")}");
        foreach (var row in compared.Spells.Where(row => row.Parts))
            Write(row, site, width, output);

        string Rows(int count) => $"{count} {(count == 1 ? "wet spell" : "wet spells")}"
            + (spells.Count < count ? " or windows outside one" : "");
    }

    private static void Write(SpellVerdicts row, Site site, int width, TextWriter output)
    {
        var figures = row.Spell is { } spell
            ? $"{Figure(spell.WetHours)} wet h, {site.Units.Rain(spell.RainMm)}"
                + (spell.MeanTempC is { } mean ? $", mean {site.Units.Temperature(mean)}" : "")
            : "no wet spell";
        output.WriteLine(
            $"\n  {Local(row.From, site)} to {Local(row.To, site)}, {figures}: {string.Join(", ", row.Plantings.Select(site.Called))}");
        foreach (var verdict in row.Verdicts)
            output.WriteLine($"    {verdict.Rule.PadRight(width)}  {Words(verdict, site)}");
    }

    private static string Words(RuleVerdict verdict, Site site) => verdict switch
    {
        { OpenedAt: null, Why: var why } => $"none: {why}",
        { OpenedAt: { } at, Level: { } level } => $"{level.Word()}, opened {Local(at, site)}",
        { OpenedAt: { } at } => $"kept off by the rain shelter, would have opened {Local(at, site)}",
    };

    private static string Scores(Verification verified) =>
        $" {verified.Hits,6} {verified.FalseAlarms,13} {verified.Misses,7} {verified.Unverified,11} {verified.CorrectNegatives,6} "
            + $"{Share(verified.Pod),5} {Share(verified.Far),5} {Share(verified.Csi),5} {Share(verified.Peirce),7}";

    private static string Share(double? value) => value?.ToString("0.00", CultureInfo.InvariantCulture) ?? "-";

    private static string Figure(double value) => value.ToString("0.0", CultureInfo.InvariantCulture);

    private static string Local(DateTimeOffset time, Site site) =>
        TimeZoneInfo.ConvertTime(time, site.Zone).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);
}
