using System.Text.RegularExpressions;
using BackyardSentinel.Commands.Report;

namespace BackyardSentinel.Tests.Commands;

public sealed class ReportCommandTests
{
    private static readonly DateTimeOffset Now = new(2027, 4, 20, 10, 0, 0, TimeSpan.Zero);

    [Fact]
    public void A_season_of_the_store_is_told_and_its_windows_are_in_the_table()
    {
        using var garden = Season();
        var (code, told, _) = Run(garden, "2026/27", "--file", At(garden, "season.html"), "--csv", At(garden, "season.csv"));

        Assert.Equal(0, code);
        Assert.Equal($"The season 2026/27 of Tannery Lane is told in {At(garden, "season.html")}.\n", told);
        var html = File.ReadAllText(At(garden, "season.html"));
        Assert.Contains("Season 2026/27 so far: Tannery Lane", html, StringComparison.Ordinal);
        Assert.Contains(
            File.ReadAllLines(At(garden, "season.csv")),
            row =>
                row.StartsWith("window,south-wall,gate-nectarine,2027-04-0", StringComparison.Ordinal)
                    && row.Contains(",wet-hours,", StringComparison.Ordinal));
    }

    [Fact]
    public void A_season_that_is_over_is_told_as_of_its_end()
    {
        using var garden = Season();
        using (var book = JournalBook.Open(garden.Store))
            book.Add(new ScoutEntry(0, "south-wall", "white-peach", new DateOnly(2026, 5, 3), 20, 4), Now.AddYears(-1));
        var (code, told, _) = Run(garden, "2025/26");

        Assert.Equal(0, code);
        Assert.Contains("<h1>Season 2025/26: Tannery Lane</h1>", told, StringComparison.Ordinal);
        Assert.Contains("No readings of this season are kept.", told, StringComparison.Ordinal);
        Assert.Contains("<p>None is known of.</p>", told, StringComparison.Ordinal);
        Assert.Contains("Curl that was found blames no rule", told, StringComparison.Ordinal);
        Assert.All(Regex.Matches(told, "<td class=\"n\">(.*?)</td>"), count => Assert.Equal("0", count.Groups[1].Value));
    }

    // Of the year 2026/27 the south has had its spring in October, and its next season runs already.
    [Fact]
    public void Sites_north_and_south_of_the_equator_are_each_told_of_their_own_season()
    {
        using var garden = new ExplainGarden();
        File.AppendAllText(
            garden.Garden,
            "  - { id: cove, zone: Australia/Hobart, latitude: -42.9, longitude: 147.3, series: [{ quantity: temperature, topic: c/t }, "
                + "{ quantity: humidity, topic: c/h }, { quantity: rain, topic: c/r }], "
                + "plantings: [{ id: shed-peach, kind: peach, stage: 9 }] }\n");
        var october = new DateTimeOffset(2026, 10, 8, 0, 0, 0, TimeSpan.Zero);
        garden.Weather(october.AddDays(-9), october, 8)
            .Weather(october, october.AddDays(2), 9, humidityPct: 97, rainMmPerHour: 0.5)
            .Weather(october.AddDays(2), october.AddDays(9), 10)
            .Weather(Now.AddDays(-30), Now.AddDays(-14), 8)
            .Weather(Now.AddDays(-14), Now.AddDays(-12), 9, humidityPct: 97, rainMmPerHour: 0.5)
            .Weather(Now.AddDays(-12), Now, 10);

        var (code, _, error) = Run(garden, "2026/27", "--file", At(garden, "season.html"), "--csv", At(garden, "season.csv"));
        var windows = File.ReadAllLines(At(garden, "season.csv"))
            .Where(row => row.Contains(",wet-hours,", StringComparison.Ordinal))
            .ToList();

        Assert.Equal((0, ""), (code, error));
        Assert.Contains(windows, row => row.StartsWith("window,south-wall,gate-nectarine,2027-04-0", StringComparison.Ordinal));
        Assert.Contains(windows, row => row.StartsWith("window,cove,shed-peach,2026-10-", StringComparison.Ordinal));
        Assert.DoesNotContain(windows, row => row.Contains("cove,shed-peach,2027-04", StringComparison.Ordinal));
        Assert.Equal(
            "south-wall: this season has not begun there, so it is not in the report.", Run(garden, "2027/28").Error.Trim());
        Assert.Contains("Season 2026/27, 2027/28 so far", Run(garden).Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("2027/28", "The season 2027/28 has not begun; the one that runs is 2026/27.")]
    [InlineData("2026", "\"2026\" names no season; it is written like the one that runs, 2026/27.")]
    [InlineData("2026/28", "\"2026/28\" names no season; it is written like the one that runs, 2026/27.")]
    [InlineData("0000/01", "\"0000/01\" names no season; it is written like the one that runs, 2026/27.")]
    public void A_name_that_is_none_is_answered_with_the_one_that_runs(string name, string sentence)
    {
        using var garden = Season();
        var (code, told, error) = Run(garden, name);

        Assert.NotEqual(0, code);
        Assert.Equal("", told);
        Assert.Equal(sentence, error.Trim());
    }

    [Fact]
    public void Without_a_store_it_says_what_to_do()
    {
        using var garden = new ExplainGarden();

        Assert.Contains(
            "start 'run' with this garden file, or see the demo's report: report --demo.", Run(garden).Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_that_is_there_is_kept()
    {
        using var garden = Season();
        File.WriteAllText(At(garden, "season.html"), "mine");
        var (code, _, error) = Run(garden, "--file", At(garden, "season.html"));

        Assert.NotEqual(0, code);
        Assert.Contains("is there already", error, StringComparison.Ordinal);
        Assert.Equal("mine", File.ReadAllText(At(garden, "season.html")));
    }

    [Fact]
    public void It_takes_the_place_of_nothing_that_the_season_is_read_from()
    {
        using var garden = Season();
        foreach (var option in new[] { "--file", "--csv" })
        {
            foreach (var own in new[] { garden.Store, garden.Store + "-wal", garden.Garden })
            {
                var before = File.Exists(own) ? File.ReadAllBytes(own) : null;
                Assert.Equal(
                    $"{option}: {own} is the garden file, or belongs to the store; name another file.\n",
                    Run(garden, option, own, "--overwrite").Error);
                Assert.Equal(before, File.Exists(own) ? File.ReadAllBytes(own) : null);
            }
        }

        var both = At(garden, "season");
        Assert.Equal(
            $"--file and --csv name the same file, {both}; give each its own.\n", Run(garden, "--file", both, "--csv", both).Error);
    }

    /// <summary>A dry March, and two wet days in April.</summary>
    private static ExplainGarden Season() => new ExplainGarden()
        .Weather(Now.AddDays(-40), Now.AddDays(-14), 8)
        .Weather(Now.AddDays(-14), Now.AddDays(-12), 9, humidityPct: 97, rainMmPerHour: 0.5)
        .Weather(Now.AddDays(-12), Now, 10);

    private static string At(ExplainGarden garden, string file) => Path.Combine(garden.Folder, file);

    private static (int Code, string Output, string Error) Run(ExplainGarden garden, params string[] args)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var code = ReportCommand.Create(new FakeTimeProvider(Now)).Parse([.. args, "--garden", garden.Garden])
            .Invoke(new System.CommandLine.InvocationConfiguration { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }
}
