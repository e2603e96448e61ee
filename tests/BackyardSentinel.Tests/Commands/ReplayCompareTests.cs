using System.Text.Json;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Logs;

namespace BackyardSentinel.Tests.Commands;

/// <summary>The rules side by side: every window in one row, a reason for each that opened nothing, scores by the journal.</summary>
public sealed class ReplayCompareTests
{
    private static readonly LogOptions Hourly = new() { Period = TimeSpan.FromHours(1), Stamp = LogStamp.Start };

    [Theory]
    [InlineData("pnw14_pdx")]
    [InlineData("nyc13_ewr")]
    public void Every_window_of_a_recorded_year_stands_in_one_row_and_every_other_verdict_has_a_reason(string log)
    {
        var site = new Site
        {
            Id = "log",
            Step = TimeSpan.FromHours(1),
            Plantings = [new Planting("one"), new Planting("two", Stage: 0)],
            Variants = [new("our-wall", RuleName.WetHours, [new(DateOnly.MinValue, new WetHoursLimits(minWetHours: 8))])],
        };
        var (result, compared) = Compare(site, OutsideData.Weather($"{log}.csv")!, Hourly, []);

        Assert.Equal(["wet-hours", "rain-day", "two-day", "our-wall"], compared.Rules.Select(rule => rule.Name));
        Assert.All(compared.Rules, rule => Assert.Equal(result.Windows.Count(window => window.Rule == rule.Name), rule.Windows));
        Assert.Equal(
            result.Spells,
            compared.Spells.Where(row => row.Plantings.Contains("one")).Select(row => row.Spell).OfType<Infection.WetSpell>());
        var told = compared.Spells.SelectMany(row => row.Verdicts.Where(one => one.OpenedAt is not null)
            .SelectMany(one => row.Plantings.Select(planting => (planting, one.Rule, one.OpenedAt!.Value)))).ToList();
        Assert.Equal(told.Count, told.Distinct().Count());
        Assert.Subset(result.Windows.Select(window => (window.Planting, window.Rule, window.OpenedAt)).ToHashSet(), told.ToHashSet());
        Assert.All(compared.Spells.SelectMany(row => row.Verdicts), one => Assert.Equal(one.OpenedAt is null, one.Why is { Length: > 0 }));
        Assert.Contains(compared.Spells, row => row.Parts);
        // Buds that are shut open nothing, whatever the weather.
        Assert.All(compared.Spells.Where(row => row.Plantings.Contains("two")), row => Assert.Equal(0, row.Opened));
    }

    [Fact]
    public void Scores_are_those_of_the_journal()
    {
        using var folder = new LogFolder();
        JournalEntry[] journal = [new ScoutEntry(1, "log", "planting", new DateOnly(2027, 2, 20), 20, 2)];
        var (_, compared) = Compare(LogFolder.Site, folder.File(LogFolder.Text()), LogFolder.Hourly, journal);

        // The others opened nothing, but most of the weeks before were not measured: that blames no rule.
        Assert.Equal(
            [(1, 0, 0), (0, 0, 1), (0, 0, 1)],
            compared.Rules.Select(rule => (rule.Verified!.Hits, rule.Verified.Misses, rule.Verified.Blameless)));
        var row = Assert.Single(compared.Spells);
        Assert.True(row.Parts);
        Assert.Equal(
            [null, "too little rain measured on one day to infect", "too short at 8 to 16 °C to infect"],
            row.Verdicts.Select(one => one.Why));
    }

    // A look at a tree that has no leaf yet says nothing against a rule.
    [Theory]
    [InlineData(9, 0)]
    [InlineData(11, 1)]
    public void A_clean_look_before_there_are_leaves_is_no_false_alarm(int stage, int falseAlarms)
    {
        using var folder = new LogFolder();
        var log = LogFolder.Text() + LogFolder.Lines(Enumerable.Range(22, 240).Select(hour => $"{LogFolder.Stamp(hour)},4,60,0"));
        var site = LogFolder.Site with { LatitudeDeg = 46, Plantings = [new Planting("planting") { Follows = StageNeeds.Default }] };
        JournalEntry[] journal =
        [
            new StageEntry(1, "log", "planting", new DateOnly(2027, 2, 1), stage),
            new ScoutEntry(2, "log", "planting", new DateOnly(2027, 2, 12), 20, 0),
        ];
        var (_, compared) = Compare(site, folder.File(log), LogFolder.Hourly, journal);

        var own = compared.Rules[0].Verified!;
        Assert.Equal((falseAlarms, 1 - falseAlarms), (own.FalseAlarms, own.Unverified));
    }

    [Fact]
    public void A_comparison_satisfies_its_schema_and_stands_in_the_text()
    {
        using var folder = new LogFolder();
        var path = folder.File(LogFolder.Text());
        var (result, compared) = Compare(LogFolder.Site, path, LogFolder.Hourly, []);
        using var output = new MemoryStream();
        ReplayJson.Write(result with { Compared = compared }, output);
        Assert.True(SchemaTests.Holds("replay", Encoding.UTF8.GetString(output.ToArray())));
        Assert.Equal(3, JsonDocument.Parse(output.ToArray()).RootElement.GetProperty("compared").GetProperty("rules").GetArrayLength());

        var (code, text, _) = ReplaySourcesTests.Run(path, "--period", "1h", "--step", "1h", "--compare");
        Assert.Equal(ExitCode.Done, code);
        Assert.Contains("1 wet spell: all open a window in 0, none in 0; they part in 1:\n", text, StringComparison.Ordinal);
        Assert.Contains("    rain-day   none: too little rain measured on one day to infect\n", text, StringComparison.Ordinal);
        Assert.Equal(ExitCode.BadInput, ReplaySourcesTests.Run(path, "--compare", "--csv").Code);
    }

    private static (ReplayResult Result, RulesCompared Compared) Compare(
        Site site, string path, LogOptions options, IReadOnlyList<JournalEntry> journal)
    {
        var result = Replay.Run(site, [path], options, journal: journal);
        return (result, result.Compare(journal).Compared!);
    }
}
