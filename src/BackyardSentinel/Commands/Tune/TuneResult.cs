using System.Globalization;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Garden;
using BackyardSentinel.Logs;
using BackyardSentinel.Phenology;
using BackyardSentinel.Tuning;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Tune;

/// <summary>What tuning came to.</summary>
/// <param name="Wish">The logs, and the site that judged them.</param>
/// <param name="Choice">What was varied.</param>
/// <param name="Site">The site as it was judged.</param>
/// <param name="Search">The search.</param>
/// <param name="LooksLeftOut">Looks of which nothing can be learnt.</param>
/// <param name="Answer">The answer.</param>
/// <param name="NextDay">The local day after the log.</param>
/// <param name="Change">What would have changed in the last season; <c>null</c>: nothing, or there is no phone.</param>
/// <param name="Findings">What the reader should know, a sentence each.</param>
internal sealed record TuneResult(
    LogWish Wish,
    TuneChoice Choice,
    Site Site,
    LimitSearch Search,
    int LooksLeftOut,
    TuneAnswer Answer,
    DateOnly NextDay,
    TuneChange? Change,
    IReadOnlyList<string> Findings)
{
    /// <summary>The draws of the intervals begin here: the same logs give the same answer.</summary>
    private const ulong Seed = 1882;

    /// <summary>Sets from which on a search takes a minute and more. Assumed.</summary>
    private const int LongSearch = 200_000;

    /// <summary>The limits that hold now.</summary>
    public LimitSet Now => Search.Present;

    /// <summary>The rule had other limits when the log began.</summary>
    public bool LimitsWereOthers { get; init; }

    /// <summary>The limits that would have cost least.</summary>
    public LimitSet Best => Search.Found(0);

    /// <summary>Reads the logs once, searches, and judges the last season both ways.</summary>
    /// <param name="wish">The logs, and the site that judges them.</param>
    /// <param name="choice">What is varied.</param>
    /// <param name="error">Told when the search will be long.</param>
    /// <exception cref="LogProblemException">There is nothing to tune on.</exception>
    public static TuneResult Of(LogWish wish, TuneChoice choice, TextWriter error)
    {
        if (wish.Journal is null)
            throw new LogProblemException(
                "tune scores limits against what you found on the shoots: name the journal with --journal, "
                + "or a garden file whose store has it.");
        choice.Axes(wish.Site with { HasRainGauge = true }); // What is misspelt is said before the logs are read.
        var recorder = new LogRecorder();
        var judged = wish.Judge(wish.Site, wish.Journal, onInterval: recorder.Note);
        if (recorder.Recording is not { } recording)
            throw new LogProblemException(
                $"{string.Join(", ", wish.Source.Paths)}: no reading that could be used, so there is nothing to tune on.");
        var calendar = new SeasonCalendar(wish.Site.LatitudeDeg);
        var scouted = new ScoutedSeasons(recording, wish.Journal, day => calendar.SeasonOf(day)?.Year ?? day.Year);
        var today = LocalDay.Of(judged.End!.Value, wish.Site.Zone);
        var search = new LimitSearch(
            recording,
            scouted,
            LimitSet.Of(recording.Site, choice.Rule, today),
            choice.Axes(recording.Site),
            choice.MissCost,
            choice.Level);
        if (search.Sets.Count > LongSearch)
            error.WriteLine(
                string.Create(CultureInfo.InvariantCulture, $"{search.Sets.Count:#,0} sets of limits are to be tried, which can take ")
                + "many minutes; with fewer keys in --vary they are fewer.");
        // The parts are independent, and then the searches are: the order in which they are done changes nothing.
        Parallel.For(0, search.Parts, search.Score);
        Parallel.For(0, search.Searches, search.Search);
        List<string> findings = [.. wish.Findings, .. judged.Doubts];
        if (scouted.NotMeasured > 0)
            findings.Add(LeftOut(scouted.NotMeasured, "too little of the weather 9 to 33 days before was measured"));
        if (scouted.NothingOpen > 0)
            findings.Add(LeftOut(
                scouted.NothingOpen, "nothing on the tree could be infected 9 to 33 days before, so no limits could have warned"));
        return new TuneResult(
            wish,
            choice,
            recording.Site,
            search,
            scouted.NotMeasured + scouted.NothingOpen,
            TuneAnswer.Of(search, Seed),
            today.AddDays(1),
            search.Found(0) == search.Present || wish.Alerts is null ? null : TuneChange.Of(wish, search, calendar),
            findings)
        {
            LimitsWereOthers = recording.Site.LimitsOf(choice.Rule, LocalDay.Of(judged.Start!.Value, wish.Site.Zone))
                != recording.Site.LimitsOf(choice.Rule, today),
        };
    }

    private static string LeftOut(int looks, string why) => $"{looks} look{(looks == 1 ? " is" : "s are")} left out: {why}.";
}
