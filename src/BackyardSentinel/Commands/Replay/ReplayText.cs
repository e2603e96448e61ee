using System.Globalization;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Writes a replay for people: the season drawn, the windows in a table, what was not taken.</summary>
public static class ReplayText
{
    private const int MaxRejectedShown = 10;

    /// <summary>Writes everything.</summary>
    public static void Write(ReplayResult result, TextWriter output)
    {
        if (result.Start is not { } start || result.End is not { } end)
        {
            output.WriteLine(result.Rows == 0
                ? $"{string.Join(", ", result.Logs)}: no rows, so there is nothing to judge."
                : $"{string.Join(", ", result.Logs)}: {Count(result.Rows)} rows, none with a reading that could be used.");
            foreach (var doubt in result.Doubts)
                output.WriteLine($"\n{doubt}");
            WriteRejected(result, output);
            return;
        }

        var zone = result.Site.Zone;
        output.WriteLine(
            $"{string.Join(", ", result.Logs)}: {Count(result.Rows)} rows, {Local(start, zone)} to {Local(end, zone)} ({zone.Id})");
        if (!result.Site.HasRainGauge)
            output.WriteLine(Ungauged(result.Site));
        output.WriteLine();
        SeasonDrawing.Write(result, output);
        WriteWindows(result, output);
        WriteSheltered(result, output);
        if (result.Compared is { } compared)
            RulesComparedText.Write(compared, result.Site, output);
        else
            WriteSecondOpinions(result, output);
        WriteStages(result, output);
        WriteCare(result, output);
        if (result.Alerts.Count > 0)
            output.WriteLine($"\nThe phone would have had {Count(result.Alerts.Count, "message")} (titles in --json).");
        foreach (var finding in result.Findings)
            output.WriteLine($"\n{finding}");
        if (result.If is { } asked)
            WriteWhatIf(asked, result.Site, output);
        WriteRejected(result, output);
    }

    private static void WriteWhatIf(WhatIf asked, Site site, TextWriter output)
    {
        var sprays = asked.Move.Sprays
            .GroupBy(spray => site.ProductCalled(spray.Product))
            .Select(product => $"{product.Key} on {string.Join(", ", product.Select(spray => site.Called(spray.Planting)))}");
        output.WriteLine($"\nWhat if {asked.Asked} ({string.Join("; ", sprays)})?\n{asked.Answer}");
        foreach (var one in asked.Windows)
            output.WriteLine(
                $"  {site.Called(one.Window.Planting)}, window of {Local(one.Window.OpenedAt, site.Zone)}, "
                    + $"{one.Window.Level.Word()}: {one.Answer}.");
        foreach (var note in asked.Notes)
            output.WriteLine($"\n{note}");
    }

    private static void WriteSheltered(ReplayResult result, TextWriter output)
    {
        foreach (var planting in result.Sheltered.Where(window => window.Rule == result.Site.LevelRule).GroupBy(window => window.Planting))
            output.WriteLine(
                $"\n{result.Site.Called(planting.Key)}: its rain shelter kept off {Count(planting.Count(), "infection window")}, "
                    + "opened "
                    + $"{string.Join(", ", planting.Select(window => Local(window.OpenedAt, result.Site.Zone)[..10]))} under the open "
                    + "sky.");
    }

    private static void WriteStages(ReplayResult result, TextWriter output)
    {
        if (result.Stages.Count == 0)
            return;
        output.WriteLine("\nBud stages (BBCH):");
        foreach (var stage in result.Stages)
        {
            var range = stage is { Logged: false, Early: { } early }
                ? string.Create(
                    CultureInfo.InvariantCulture,
                    $", "
                        + $"{early:d MMM} at the earliest"
                        + $"{(stage.Late is { } late ? string.Create(CultureInfo.InvariantCulture, $", {late:d MMM} at the latest") : "")}")
                : "";
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"  {stage.On:yyyy-MM-dd}  {result.Site.Called(stage.Planting)}  {stage.Code:00} "
                        + $"{BudStage.From(stage.Code).Meaning}, {(stage.Logged ? "seen" : "computed")}{range}"));
        }

        foreach (var span in result.MayBeOpen)
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"  {result.Site.Called(span.Planting)}: "
                        + $"the leaf buds may have been open from {span.From:yyyy-MM-dd}"
                        + $"{(span.To is { } to ? string.Create(CultureInfo.InvariantCulture, $" to {to:yyyy-MM-dd}") : "")}; "
                        + $"until that is sure they are judged as open."));
    }

    private static void WriteCare(ReplayResult result, TextWriter output)
    {
        if (result.Care.Count == 0)
            return;
        var units = result.Site.Units;
        output.WriteLine("\nWhat was due:");
        foreach (var fact in result.Care)
        {
            output.WriteLine(
                $"  {Local(fact.At, result.Site.Zone)[..10]}  "
                    + fact switch
                    {
                        ScoutingFellDue due => string.Create(
                            CultureInfo.InvariantCulture,
                            $"{result.Site.Called(due.Planting)}: look at 20 shoots; "
                                + $"curl of the window of {Local(due.WindowOpenedAt, result.Site.Zone)[..10]} "
                                + $"{(due.Likely ? "is likely to show" : "may show from now on")}, "
                                + $"likely {due.LikelyFrom:d MMM} to "
                                + $"{due.LikelyTo:d MMM}{(due.MayNotDevelop ? "; warm days make it unlikely" : "")}"),
                        InfectionSeasonClosed closed =>
                            $"{result.Site.Called(closed.Planting)}: no more infection this season, {closed.Because}",
                        CoverChanged cover => string.Create(
                            CultureInfo.InvariantCulture,
                            $"{result.Site.Called(cover.Planting)}: cover {cover.Cover.Word()}, "
                                + $"{units.Rain(cover.RainMm)} since {result.Site.ProductCalled(cover.Product)} "
                                + $"of {cover.SprayedOn:yyyy-MM-dd}"),
                        _ => "",
                    });
        }
    }

    private static void WriteWindows(ReplayResult result, TextWriter output)
    {
        var rule = result.Site.LevelRule;
        var windows = result.Windows.Where(window => window.Rule == rule).ToList();
        if (windows.Count == 0)
        {
            output.WriteLine($"{Count(result.Spells.Count, "wet spell")}, no infection window by the rule {rule}.");
            return;
        }

        output.WriteLine(
            $"{Count(result.Spells.Count, "wet spell")}, {Count(windows.Count, "infection window")} by the rule {rule}:");
        output.WriteLine();
        var units = result.Site.Units;
        var width = Math.Max("planting".Length, windows.Max(window => result.Site.Called(window.Planting).Length));
        output.WriteLine($"  {"planting".PadRight(width)} {"opened",-16} {"closed",-16} {"level",-10} {"wet h",6} {"rain",8} {"mean",8}");
        foreach (var w in windows)
        {
            output.WriteLine(
                $"  {result.Site.Called(w.Planting).PadRight(width)} {Local(w.OpenedAt, result.Site.Zone),-16} "
                    + $"{(result.ClosedAt(w) is { } closed ? Local(closed, result.Site.Zone) : "still open"),-16} "
                    + $"{w.Level.Bar()} {w.Level.Word(),-8} {Figure(w.WetHours),6} {(w.RainMm is { } rain ? units.Rain(rain) : "-"),8} "
                        + $"{(w.MeanTempC is { } mean ? units.Temperature(mean) : "-"),8}"
                        + $"{(w.Uncertain ? "  uncertain: data missing" : "")}");
        }

        output.WriteLine();
        if (result.Site.RuleOf(rule) == RuleName.WetHours)
            output.WriteLine(
                "The level follows an assumed curve of wet hours and temperature: how strongly the\nweather favoured infection, "
                    + "not whether leaves were infected.");
    }

    private static void WriteSecondOpinions(ReplayResult result, TextWriter output)
    {
        var others = result.Windows.Where(window => window.Rule != result.Site.LevelRule)
            .GroupBy(window => window.Rule)
            .Select(group => $"{group.Key} {Count(group.Count())}")
            .ToList();
        output.WriteLine(others.Count == 0
            ? "Second opinions: the other rules opened no window."
            : $"Second opinions, windows by the other rules: {string.Join(", ", others)} (all of them in --json and --csv).");
    }

    private static void WriteRejected(ReplayResult result, TextWriter output)
    {
        if (result.RejectedCount == 0)
            return;
        output.WriteLine();
        output.WriteLine($"Not taken ({Count(result.RejectedCount)}):");
        foreach (var row in result.Rejected.Take(MaxRejectedShown))
            output.WriteLine($"  {row.File}{(row.Line > 0 ? $":{row.Line}" : "")}: {row.Reason}");
        if (result.RejectedCount > MaxRejectedShown)
            output.WriteLine(
                $"  and {Count(result.RejectedCount - MaxRejectedShown)} more (--json lists the first {Count(Replay.MaxRejectedListed)})");
    }

    private static string Ungauged(Site site)
    {
        var hours = site.Rules.OfType<WetHoursLimits>().First().MinWetHours.ToString(CultureInfo.InvariantCulture);
        return $"No rain value in the log: {hours} hours of wetness stand in for rain, and the rule rain-day cannot judge.";
    }

    private static string Local(DateTimeOffset time, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(time, zone).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    private static string Figure(double? value) => value?.ToString("0.0", CultureInfo.InvariantCulture) ?? "-";

    private static string Count(long n, string noun) => $"{Count(n)} {noun}{(n == 1 ? "" : "s")}";

    private static string Count(long n) => n.ToString("#,0", CultureInfo.InvariantCulture);
}
