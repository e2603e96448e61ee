using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Spraying;
using BackyardSentinel.Tuning;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;
using BackyardSentinel.Web.Year;

namespace BackyardSentinel.Web.Report;

/// <summary>The report of a garden's season, to be read and printed: one file that asks nobody for anything.</summary>
/// <param name="Garden">The garden's name.</param>
/// <param name="Words">The words, by the clock of the first site.</param>
/// <param name="Made">When it is made, UTC.</param>
/// <param name="Sites">The sites.</param>
/// <param name="StyleSheet">The style sheet, to stand in the file; <c>null</c>: a page of the service, which links to it.</param>
public sealed record ReportView(
    string Garden, PageWords Words, DateTimeOffset Made, IReadOnlyList<ReportSite> Sites, string? StyleSheet = null)
{
    /// <summary>The season's name; two, where one half of the earth has begun the next already.</summary>
    public string Season => string.Join(", ", Sites.Select(site => YearStrip.SeasonText(site.Facts.Season)).Distinct());

    /// <summary>Of a season that still runs it is the report so far.</summary>
    public bool IsRunning => Sites.Any(site => site.Facts.Season.Contains(LocalDay.Of(Made, site.Facts.Site.Zone)));
}

/// <summary>One site in the report: its tables, row by row.</summary>
/// <param name="facts">Its season.</param>
/// <param name="words">The words, by its clock.</param>
public sealed class ReportSite(ReportFacts facts, PageWords words)
{
    /// <summary>Its season.</summary>
    public ReportFacts Facts => facts;

    /// <summary>Where the store lies beside which the result of tuning is kept; <c>null</c>: there is none.</summary>
    public string? Store { get; init; }

    /// <summary>What tuning came to; <c>null</c>: nothing was kept of it.</summary>
    public KeptTuning? Tuned => Store is { } store ? KeptTuning.Of(store, facts.Site.Id) : null;

    /// <summary>The plantings: how they are called, with kind and number of trees, and their year in sentences.</summary>
    public IEnumerable<(YearFacts Year, string Kind, IReadOnlyList<string> Story)> Plantings() => facts.Plantings.Select(year => (
        year,
        string.Join(", ", new[]
        {
            year.Planting.Variety ?? "",
            words.Say("kind." + year.Planting.Kind.Word()),
            words.Count("trees", year.Planting.Trees),
        }.Where(part => part.Length > 0)),
        (IReadOnlyList<string>)[.. new ReportStory(facts, words).Of(year)]));

    /// <summary>The windows of the rule that gives the level, planting by planting, with what was found.</summary>
    public IEnumerable<(string Planting, WindowRow Row, string Found)> Windows() => facts.Plantings.SelectMany(year =>
        YearStrip.Windows(year).Zip(new YearTable(year, words).Windows(), (window, row) => (
            year.Planting.Called,
            row,
            words.Say("report.outcome." + Word(facts.OutcomeOf(window))))));

    /// <summary>That there are no windows, as far as that is known of each planting.</summary>
    public string NoWindows() => string.Join(' ', facts.Plantings
        .Select(year => (Table: new YearTable(year, words), year.Planting.Called))
        .Where(one => one.Table.Unknown() is not null)
        .Select(one => $"{one.Called}: {one.Table.Unknown()}")
        .Prepend(words.Say(IsNoneCertain ? "report.windows.none" : "report.windows.none-known")));

    private bool IsNoneCertain => facts.Slice is not null && !facts.Plantings.Any(year => year.IsUnseen || year.Exposed.Unknown > 0);

    /// <summary>Curl was found of which no rule can be blamed, as the weather before was not measured.</summary>
    public bool HasCurlOfUnknownWeather => facts.Rules.Any(rule => rule.Verified.Blameless > 0);

    /// <summary>What is counted of each rule, in the order of the figures.</summary>
    public IReadOnlyList<string> Counted { get; } =
    [
        words.Say("report.windows"),
        words.Say("report.hits"),
        words.Say("report.false-alarms"),
        words.Say("report.misses"),
        words.Say("report.unverified"),
    ];

    /// <summary>What each rule said, counted: its name and the figures.</summary>
    public IEnumerable<(string Rule, IReadOnlyList<string> Figures)> Counts() => facts.Rules.Select(rule => (
        words.Rule(rule.Rule),
        (IReadOnlyList<string>)
        [
            .. new[]
            {
                rule.Verified.Windows.Count,
                rule.Verified.Hits,
                rule.Verified.FalseAlarms,
                rule.Verified.Misses,
                rule.Verified.Unverified,
            }.Select(count => words.Number(count)),
        ]));

    /// <summary>The season's sprays.</summary>
    public IEnumerable<(string Day, string Planting, string What, string Copper, string PerArea)> Sprays() => facts.Sprays.Select(spray => (
        words.DateOfYear(spray.Entry.On),
        facts.Site.Called(spray.Entry.Planting),
        words.Say(
            "report.spray",
            ("product", facts.Site.ProductCalled(spray.Entry.Product)),
            ("volume", words.Figure(words.Units.Volume(spray.Entry.VolumeL)))),
        spray.CopperG is { } g ? words.Figure(words.Units.Mass(g)) : words.Say("not-known"),
        spray.CopperKgPerHa is { } kg ? words.Figure(words.Units.MassPerArea(kg)) : words.Say("not-known")));

    /// <summary>The copper of each sprayed planting in the season, with the sentences that set it beside benchmarks.</summary>
    public IEnumerable<(string Planting, string Copper, string PerArea, IReadOnlyList<string> Beside)> Copper() => facts.Plantings
        .Where(year => facts.Sprays.Any(spray => spray.Entry.Planting == year.Planting.Id))
        .Select(year =>
        {
            var balance = facts.Ledger.Balance(year.Planting.Id, year.Today < facts.Season.End ? year.Today : facts.Season.End.AddDays(-1));
            return (
                year.Planting.Called,
                balance switch
                {
                    { Uncounted: 0 } => words.Figure(words.Units.Mass(balance.SeasonG)),
                    { SeasonG: > 0 } => words.Say("report.copper.more-than", ("amount", words.Figure(words.Units.Mass(balance.SeasonG)))),
                    _ => words.Say("not-known"),
                },
                balance.SeasonKgPerHa is { } kg ? words.Figure(words.Units.MassPerArea(kg)) : words.Say("not-known"),
                (IReadOnlyList<string>)[.. CopperBenchmark.Beside(balance, facts.Site.Units).Select(words.Say)]);
        });

    /// <summary>Looks and pickings.</summary>
    public IEnumerable<(string Day, string Planting, string What)> Looks() => facts.Looks.Select(entry => (
        words.DateOfYear(entry.On),
        facts.Site.Called(entry.Planting),
        YearMarks.Text(entry, facts.Site, words) + (entry is ScoutEntry { Symptom: { } symptom }
            ? words.Say("report.symptom", ("symptom", words.Say("symptom." + symptom.Word()))) : "")));

    /// <summary>What was not known, a sentence each.</summary>
    public IEnumerable<string> NotKnown()
    {
        var (judged, missing) = facts.Hours;
        if (judged == 0)
            yield return words.Say("report.unknown.all");
        if (missing > 0)
            yield return words.Say(
                "report.unknown.gaps",
                ("hours", words.Hours(missing)),
                ("percent", words.Number(100 * missing / judged, "0.#")),
                ("longest", Longest()));
        if (facts.Slice is { } slice && slice.From > LocalDay.StartOf(facts.Season.ChillFrom, facts.Site.Zone))
            yield return words.Say("report.unknown.before", ("time", words.Moment(slice.From)));
        foreach (var doubt in facts.Slice?.Doubts ?? [])
            yield return words.Say(
                doubt.To is null ? "report.unknown.doubted-still" : "report.unknown.doubted",
                ("what", words.Say(doubt.Doubt.Seen(facts.Site.Units))),
                ("from", words.Moment(doubt.From)),
                ("to", doubt.To is { } to ? words.Moment(to) : ""));
        foreach (var year in facts.Plantings.Where(year => year.IsFollowed && !year.Entries.OfType<StageEntry>().Any()))
            yield return words.Say("report.unknown.stages", ("planting", year.Planting.Called));
        foreach (var stranger in JournalCheck.Strangers(facts.Journal.Where(entry => facts.Season.Contains(entry.On)), [facts.Site]))
            yield return words.Say(stranger);
        yield return words.Say("report.unknown.assumed");
    }

    private string Longest()
    {
        var longest = facts.Slice!.Missing.MaxBy(gap => gap.Length);
        return words.Say("span", ("from", words.Moment(longest.From)), ("to", words.Moment(longest.To, longest.From)));
    }

    /// <summary>The word of an outcome, as the words and the CSV have it.</summary>
    internal static string Word(Outcome outcome) => outcome switch
    {
        Outcome.Hit => "hit",
        Outcome.FalseAlarm => "false-alarm",
        Outcome.Unverified => "unverified",
        Outcome.Covered => "covered",
    };
}
