using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Logs;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Tests.Commands;

/// <summary>
/// A spray moved for one run, on the example's invented spring: 10 mm of rain on 4 March, 16.4 mm on 22 March and less between.
/// </summary>
public sealed class ReplayWhatIfTests : IDisposable
{
    private const string Sprayed = """
        {"on":"2027-03-01","planting":"white-peach","kind":"spray","product":"winter-copper","volume_l":5,"at":"14:30"}
        {"on":"2027-03-01","planting":"gate-nectarine","kind":"spray","product":"winter-copper","volume_l":3}
        {"on":"2027-03-02","planting":"white-peach","kind":"spray","product":"winter-oil","volume_l":5}
        {"on":"2027-03-08","planting":"white-peach","kind":"stage","code":1}

        """;

    private static readonly string Log = Checkout.Path("docs", "examples", "spring.csv");
    private static readonly string Garden = Checkout.Path("config", "garden.yaml");
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_spray_moved_answers_for_each_window_before_and_after()
    {
        var (code, output, error) = Run("--if-sprayed", "2027-03-20", "--instead-of", "2027-03-01");

        Assert.Equal((ExitCode.Done, ""), (code, error));
        Assert.Contains(
            """

            What if sprayed on 2027-03-20 instead of 2027-03-01 (blue-tub copper on white-peach, gate-nectarine)?
            Of 4 infection windows 2 opened on a covered tree; sprayed on 2027-03-20 instead of 2027-03-01 it would have been 2.
              gate-nectarine, window of 2027-03-04 21:30, likely: was covered, would have been not covered (none).
              white-peach, window of 2027-03-04 21:30, likely: was covered, would have been not covered (none).
              gate-nectarine, window of 2027-03-22 18:30, likely: was due for a look (recheck), would have been covered.
              white-peach, window of 2027-03-22 18:30, likely: was due for a look (recheck), would have been covered.

            """,
            output,
            StringComparison.Ordinal);
        Assert.Contains("white-peach: on 2027-03-20 the buds were at BBCH 03.", output, StringComparison.Ordinal);
        Assert.Contains("nor that one was allowed or fit on that day: the label does.", output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_spray_added_is_on_every_planting_and_rain_before_the_log_is_said_to_be_unknown()
    {
        var (_, output, _) = Run("--if-sprayed", "2027-02-20");
        Assert.Contains(
            "What if sprayed on 2027-02-20 too (blue-tub copper on white-peach, gate-nectarine)?\n",
            output,
            StringComparison.Ordinal);
        Assert.Contains("The log begins on 2027-03-01: rain between 2027-02-20 and then is not known", output, StringComparison.Ordinal);
    }

    /// <summary>By hand: the rows' rain from the spray's end to the window's opening, against the product's 25 and 50 mm.</summary>
    [Fact]
    public void The_cover_on_any_day_is_what_the_rows_rain_since_gives()
    {
        var site = GardenFileReader.Read(Garden).Garden!.Sites[0] with { Step = TimeSpan.FromHours(1) };
        var options = new LogOptions { Period = TimeSpan.FromHours(1), Stamp = LogStamp.Start };
        SprayEntry spray = new(1, site.Id, "white-peach", new DateOnly(2027, 3, 1), "winter-copper", 5, At: new TimeOnly(14, 0));
        var was = Replay.Run(site, [Log], options, journal: [spray]);
        var rain = File.ReadLines(Log).Skip(1).Select(row => row.Split(',')).Select(cells => (
            At: DateTimeOffset.Parse(cells[0], CultureInfo.InvariantCulture),
            Mm: double.Parse(cells[3], CultureInfo.InvariantCulture))).ToList();

        HashSet<Cover> met = [];
        for (var day = spray.On.AddDays(1); day < spray.On.AddDays(30); day = day.AddDays(1))
        {
            Assert.True(SprayMove.TryMake(site, [spray], day, spray.On, null, out var move, out var reason), reason);
            var asked = WhatIfAnswer.Of(move!, was, Replay.Run(site, [Log], options, journal: move!.Journal));
            Assert.Equal(2, asked.Windows.Count);
            foreach (var one in asked.Windows)
            {
                var from = new DateTimeOffset(day.ToDateTime(spray.At!.Value), site.Zone.GetUtcOffset(day.ToDateTime(spray.At.Value)));
                var fallen = rain.Where(row => row.At >= from && row.At < one.Window.OpenedAt).Sum(row => row.Mm);
                var expected = one.Window.OpenedAt <= from ? Cover.None
                    : fallen >= 50 - 1e-6 ? Cover.Spent
                    : fallen >= 25 - 1e-6 ? Cover.Recheck
                    : Cover.Fresh;
                Assert.Equal(expected, one.Then);
                met.Add(one.Then);
            }
        }

        Assert.Superset(new HashSet<Cover> { Cover.None, Cover.Fresh, Cover.Recheck }, met);
    }

    [Fact]
    public void What_cannot_be_asked_is_refused_in_a_sentence()
    {
        Refused("--instead-of and --product belong to --if-sprayed", "--instead-of", "2027-03-01");
        Refused("--if-sprayed: \"soon\" is no day; write it like 2027-02-12.", "--if-sprayed", "soon");
        Refused("--instead-of: \"2027-02-30\" is no day", "--if-sprayed", "2027-03-20", "--instead-of", "2027-02-30");
        Refused(
            "--if-sprayed: The journal has no spray on 2027-03-02 that gives cover; it has some on 2027-03-01.",
            "--if-sprayed",
            "2027-03-20",
            "--instead-of",
            "2027-03-02");
        Refused("--if-sprayed: The journal has blue-tub copper on white-peach on 2027-03-01 as it is.", "--if-sprayed", "2027-03-01");
        Refused("--if-sprayed: The garden file has no product soap", "--if-sprayed", "2027-03-20", "--product", "soap");
        Refused("leaves no cover that could be followed; winter-copper would.", "--if-sprayed", "2027-03-20", "--product", "winter-oil");
        Refused("--if-sprayed and --csv exclude each other", "--if-sprayed", "2027-03-20", "--csv");
        var (code, _, error) = ReplaySourcesTests.Run(Log, "--period", "60m", "--if-sprayed", "2027-03-20");
        Assert.Equal(ExitCode.BadInput, code);
        Assert.StartsWith("--if-sprayed needs --garden", error, StringComparison.Ordinal);
    }

    private (int Code, string Output, string Error) Run(params string[] options) =>
        ReplaySourcesTests.Run(
            [Log, "--period", "60m", "--garden", Garden, "--journal", _folder.File(Sprayed, "journal.jsonl"), .. options]);

    private void Refused(string sentence, params string[] options)
    {
        var (code, output, error) = Run(options);
        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        Assert.Contains(sentence, error, StringComparison.Ordinal);
    }
}
