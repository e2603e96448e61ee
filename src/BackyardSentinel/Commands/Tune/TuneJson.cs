using System.Text.Json;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;
using BackyardSentinel.Tuning;
using BackyardSentinel.Web.Year;

namespace BackyardSentinel.Commands.Tune;

/// <summary>Writes what tuning came to as one JSON object; docs/tune.md describes it.</summary>
internal static class TuneJson
{
    /// <summary>Writes the object and a line end.</summary>
    public static void Write(TuneResult result, TextWriter output) =>
        output.Write(JsonSerializer.Serialize(Document(result), ContractJson.Printed.TuneDocument) + "\n");

    /// <summary>Keeps the object beside the garden's store.</summary>
    /// <exception cref="LogProblemException">No garden file was named, or the file cannot be written.</exception>
    public static void Keep(TuneResult result)
    {
        if (result.Wish.Garden is not { } garden)
            throw new LogProblemException("--keep: name the garden file (--garden), beside whose store the result is kept.");
        var path = KeptTuning.PathBeside(garden.Store.Path, result.Site.Id);
        try
        {
            using var text = new StringWriter();
            Write(result, text);
            File.WriteAllText(path + ".new", text.ToString());
            File.Move(path + ".new", path, overwrite: true);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            throw new LogProblemException($"--keep: {path} cannot be written: {problem.Message}");
        }
    }

    /// <summary>The titles of messages, in the garden's words.</summary>
    public static Func<Alert, string> Say(TuneResult result)
    {
        var english = new Lazy<AlertWords>(() => AlertWords.English(result.Site.Units));
        var say = result.Wish.Words() ?? (alert => english.Value.Say(alert, _ => result.Site.Zone));
        return alert => say(alert).Title;
    }

    private static TuneDocument Document(TuneResult result)
    {
        var (answer, verdict) = (result.Answer, result.Answer.Verdict);
        var now = answer.Now.Counts;
        return new TuneDocument(
            result.Site.Id,
            result.Choice.Rule,
            result.Now.Rule.Rule,
            result.Search.Axes.Select(axis => axis.Word),
            result.Choice.Level,
            result.Choice.MissCost,
            result.Search.Tried,
            result.Search.Seasons.Count,
            result.Search.Seasons,
            now.Hits + now.FalseAlarms,
            verdict.Looks.Curl + verdict.Looks.Clean,
            verdict.Looks.Curl,
            result.LooksLeftOut,
            verdict.Needed,
            verdict.Recommended,
            verdict.Why,
            Limits(result.Now),
            Limits(result.Best),
            new TunedScores(Score(answer.Now), Score(answer.Best), Score(answer.LeftOut)),
            new TunedFigure(answer.SavedASeason, answer.Saved?.Low, answer.Saved?.High),
            answer.Folds.Select(fold => new TunedSeason(
                fold.Season, Limits(fold.Found), fold.Came.Hits, fold.Came.Misses, fold.Came.FalseAlarms)),
            answer.TradeOff.Select(pair => new TunedPair(pair.Counts.Pod!.Value, pair.Counts.Far!.Value, Limits(pair.Set))),
            TuneWords.Block(result),
            result.Change is { } change ? Change(change, Say(result)) : null,
            result.Findings);
    }

    private static TunedLimits Limits(LimitSet set)
    {
        var (wet, rain, two) = (set.Rule as WetHoursLimits, set.Rule as RainDayLimits, set.Rule as TwoDayLimits);
        return new TunedLimits(
            wet?.MinRainMm ?? rain?.RainAboveMm,
            wet?.MinWetHours ?? two?.LikelyHours,
            wet?.MaxMeanTempC ?? two?.MaxTempC,
            rain?.MaxTempAboveC ?? two?.MinTempC,
            wet?.FullWetHours,
            wet?.FullTempC,
            two?.MinHumidityPct,
            two?.LongestBreak.TotalHours,
            set.Spell.LongestGap.TotalHours,
            set.Spell.WetHumidityPct,
            set.Spell.Estimator.Word(),
            TuneWords.StartOn(set));
    }

    private static TunedScore Score(LimitScore score) => new(
        score.Counts.Hits,
        score.Counts.Misses,
        score.Counts.FalseAlarms,
        score.Counts.Unverified,
        score.Counts.CorrectNegatives,
        Figure(score.Counts.Pod, score.Pod),
        Figure(score.Counts.Far, score.Far),
        Figure(score.Counts.Csi, score.Csi),
        Figure(score.Counts.Peirce, score.Peirce));

    private static TunedFigure Figure(double? value, (double Low, double High)? interval) => new(value, interval?.Low, interval?.High);

    private static TunedChange Change(TuneChange change, Func<Alert, string> say)
    {
        return new TunedChange(
            change.Year,
            Windows(change.WindowsCome),
            Windows(change.WindowsGo),
            Messages(change.MessagesCome), Messages(change.MessagesGo));

        static IEnumerable<TunedWindow> Windows(IEnumerable<InfectionWindow> windows) =>
            windows.Select(window => new TunedWindow(window.Planting, window.OpenedAt, window.Level));

        IEnumerable<TunedMessage> Messages(IEnumerable<Alert> alerts) =>
            alerts.Select(alert => new TunedMessage(alert.At, alert.Kind, say(alert)));
    }
}
