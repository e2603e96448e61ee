using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Tuning;

namespace BackyardSentinel.Commands.Tune;

/// <summary>Writes what tuning came to, for people.</summary>
internal static class TuneText
{
    /// <summary>Writes it.</summary>
    public static void Write(TuneResult result, TextWriter output)
    {
        var (answer, search) = (result.Answer, result.Search);
        output.WriteLine(
            $"{result.Site.Id}, rule {result.Choice.Rule}: {Count(search.Tried, "set")} of limits tried over "
            + $"{Count(search.Seasons.Count, "season")} with scouting{Years(search.Seasons)}.");
        output.WriteLine(
            $"A miss counts as much as {Figure(result.Choice.MissCost)} false alarms"
            + (result.Choice.Level > Level.Possible ? $"; only windows that came to {result.Choice.Level.Word()} count." : "."));
        if (result.Choice.Rule != result.Site.LevelRule)
            output.WriteLine(
                $"The level there comes from {result.Site.LevelRule}: \"now\" and \"present\" are {result.Choice.Rule}'s own limits.");
        if (result.LimitsWereOthers)
            output.WriteLine($"{result.Choice.Rule} had other limits before: all seasons are judged by those of the last day here.");
        output.WriteLine();
        WriteLimits(result, output);
        WriteScores(answer, search.MissCost, output);
        WriteSeasons(result, output);
        output.WriteLine(answer.Verdict.Recommended ? "Recommended." : "Not recommended: the present limits stay.");
        output.WriteLine(answer.Verdict.Why);
        if (answer.Verdict.Recommended)
            output.WriteLine(
                "More or fewer warnings are a choice, too: look at the misses. What to spray and when is the label's, not this rule's.");
        if (result.Best != result.Now)
        {
            WriteChange(result, output);
            output.WriteLine();
            output.WriteLine(answer.Verdict.Recommended ? "For the garden file:" : "The limits found, to try beside the present ones:");
            output.WriteLine();
            output.Write(TuneWords.Block(result));
        }

        foreach (var finding in result.Findings)
            output.WriteLine($"\n{finding}");
    }

    private static void WriteLimits(TuneResult result, TextWriter output)
    {
        output.WriteLine($"{"limit",-20} {"now",12} {"found",12}");
        foreach (var axis in result.Search.Axes)
            output.WriteLine(
                $"{axis.Word,-20} {TuneWords.Figure(axis, result.Now, result.Site.Units),12} "
                + $"{TuneWords.Figure(axis, result.Best, result.Site.Units),12}");
        output.WriteLine();
    }

    private static void WriteScores(TuneAnswer answer, double missCost, TextWriter output)
    {
        LimitScore[] scores = [answer.Now, answer.Best, answer.LeftOut];
        output.WriteLine($"{"",-20} {"now",20} {"found, same seasons",20} {"season left out",20}");
        Row("hits", score => Whole(score.Counts.Hits));
        Row("misses", score => Whole(score.Counts.Misses));
        Row("false alarms", score => Whole(score.Counts.FalseAlarms));
        Row("not verified", score => Whole(score.Counts.Unverified));
        Row("clean, no window", score => Whole(score.Counts.CorrectNegatives));
        Row("cost", score => Figure(score.Counts.Cost(missCost)));
        Row("detected (POD)", score => Share(score.Counts.Pod, score.Pod));
        Row("false (FAR)", score => Share(score.Counts.Far, score.Far));
        Row("success (CSI)", score => Share(score.Counts.Csi, score.Csi));
        Row("skill (Peirce)", score => Share(score.Counts.Peirce, score.Peirce));
        output.WriteLine(
            "Limits fit the seasons that they were found in: only the last column speaks for the next. In brackets: 95 of 100 draws.");
        output.WriteLine();

        void Row(string name, Func<LimitScore, string> of) =>
            output.WriteLine($"{name,-20} {string.Join(' ', scores.Select(score => $"{of(score),20}"))}".TrimEnd());
    }

    private static void WriteSeasons(TuneResult result, TextWriter output)
    {
        if (result.Answer.Folds.Count < 2)
            return;
        output.WriteLine("Found without a season, and what came of it in that season:");
        foreach (var (season, found, came) in result.Answer.Folds)
        {
            var limits = string.Join(
                ", ", result.Search.Axes.Select(axis => $"{axis.Word} {TuneWords.Figure(axis, found, result.Site.Units)}"));
            output.WriteLine(
                $"  {Whole(season)}  {limits}: {Count(came.Hits, "hit")}, {Count(came.Misses, "miss")}, "
                + $"{Count(came.FalseAlarms, "false alarm")}");
        }

        output.WriteLine();
    }

    private static void WriteChange(TuneResult result, TextWriter output)
    {
        if (result.Change is not { } change)
            return;
        output.WriteLine();
        if (change is { WindowsCome.Count: 0, WindowsGo.Count: 0, MessagesCome.Count: 0, MessagesGo.Count: 0 })
        {
            output.WriteLine($"In {Whole(change.Year)} no window and no message would have been another.");
            return;
        }

        output.WriteLine($"In {Whole(change.Year)}, had the limits found given the level:");
        foreach (var window in change.WindowsCome)
            output.WriteLine($"  + window {Window(window)}");
        foreach (var window in change.WindowsGo)
            output.WriteLine($"  - window {Window(window)}");
        var say = TuneJson.Say(result);
        foreach (var alert in change.MessagesCome)
            output.WriteLine($"  + message {Day(alert.At)} {say(alert)}");
        foreach (var alert in change.MessagesGo)
            output.WriteLine($"  - message {Day(alert.At)} {say(alert)}");

        string Window(in InfectionWindow window) => $"{Day(window.OpenedAt)} {result.Site.Called(window.Planting)}: {window.Level.Word()}";

        string Day(DateTimeOffset at) =>
            Weather.LocalDay.Of(at, result.Site.Zone).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
    }

    private static string Years(IReadOnlyList<int> years) => years.Count == 0 ? "" : $" ({string.Join(", ", years.Select(Whole))})";

    private static string Share(double? value, (double Low, double High)? interval) =>
        value is not { } known ? "-"
        : interval is { } wide
            ? string.Create(CultureInfo.InvariantCulture, $"{known:0.00} ({wide.Low:0.00} to {wide.High:0.00})")
        : known.ToString("0.00", CultureInfo.InvariantCulture);

    private static string Figure(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);

    private static string Whole(int value) => value.ToString(CultureInfo.InvariantCulture);

    private static string Count(int n, string noun) =>
        $"{n.ToString("#,0", CultureInfo.InvariantCulture)} {noun}{(n == 1 ? "" : noun.EndsWith('s') ? "es" : "s")}";
}
