using BackyardSentinel.Alerting;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Events;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;
using BackyardSentinel.Tests;

namespace BackyardSentinel.Hosting;

/// <summary>
/// Whole recorded years, each from autumn and from 1 January, with and without a journal: what one peach would have put on
/// the phone. The page docs/years.md holds the table; this test works it out again, for the logs at hand. To write it anew,
/// with all of them at hand, set the environment variable of <see cref="WriteAnew"/> to 1 and run it.
/// </summary>
public sealed class RecordedYearsTests : IDisposable
{
    private const string WriteAnew = "SENTINEL_WRITE_YEARS";

    private static readonly (string Log, int Minutes, string Zone, double Latitude, double Longitude, int Year, bool HasAutumn)[] Logs =
    [
        ("nyc13_ewr", 60, "America/New_York", 40.69, -74.17, 2013, false),
        ("pnw14_pdx", 60, "America/Los_Angeles", 45.59, -122.6, 2014, false),
        ("sci_cpin", 60, "America/Los_Angeles", 34.0, -119.8, 2005, true),
        ("whately15", 10, "America/New_York", 42.45, -72.7, 2015, false),
    ];

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("sentinel-years-");

    /// <summary>One year as one garden would have lived it.</summary>
    private sealed record Lived(ReplayResult Result, IReadOnlyList<SentinelEvent> Looks)
    {
        public DateOnly? MayBeOpen => Result.MayBeOpen.Select(span => (DateOnly?)span.From).FirstOrDefault() ?? StageDay(1);

        public DateOnly? StageDay(int code) => Result.Stages.FirstOrDefault(stage => stage.Code == code)?.On;

        public int Count(Func<Occasion, bool> which) => Result.Alerts.Count(alert => which(alert.Occasions[0]));

        public int Windows => Result.Windows.Count(window => window.Rule == RuleName.WetHours.Word());
    }

    [Fact]
    public void The_page_of_recorded_years_is_true_and_keeps_what_it_promises()
    {
        var atHand = Logs.Where(log => OutsideData.Weather(log.Log + ".csv") is not null).ToList();
        Assert.NotEmpty(atHand);
        List<string> rows = [];
        List<(int Messages, int Windows)> totals = [];
        foreach (var log in atHand)
        {
            var whole = Live(log, fromAutumn: true, []);
            Assert.NotNull(whole.MayBeOpen);
            foreach (var fromAutumn in new[] { true, false })
            {
                foreach (var withJournal in new[] { false, true })
                {
                    var lived = Live(log, fromAutumn, withJournal ? Journal(whole) : []);
                    rows.Add(Row(log.Log, fromAutumn, withJournal, lived));
                    totals.Add((lived.Result.Alerts.Count, lived.Windows));
                    Check(log.Log, whole, lived, withJournal);
                }
            }
        }

        var page = Checkout.Path("docs", "years.md");
        var lines = File.Exists(page) ? File.ReadAllLines(page).ToList() : [];
        if (Environment.GetEnvironmentVariable(WriteAnew) == "1")
        {
            Assert.True(atHand.Count == Logs.Length, OutsideData.WeatherMissing);
            var at = lines.FindIndex(line => line.StartsWith("|---", StringComparison.Ordinal)) + 1;
            lines.RemoveRange(at, lines.Skip(at).TakeWhile(line => line.StartsWith('|')).Count());
            lines.InsertRange(at, rows);
            File.WriteAllLines(page, lines);
        }

        Assert.Equal(
            rows,
            lines
                .SkipWhile(line => !line.StartsWith("|---", StringComparison.Ordinal))
                .Skip(1)
                .TakeWhile(line => line.StartsWith('|'))
                .Where(line => atHand.Any(log => line.StartsWith($"| {log.Log} |", StringComparison.Ordinal))));
        // The middle of all years; a single wet one may have more.
        if (atHand.Count == Logs.Length)
            Assert.InRange(totals.Select(total => total.Messages).Order().ElementAt(totals.Count / 2), 0, 13);
        Assert.All(totals, total => Assert.InRange(total.Messages, 0, total.Windows > 10 ? 21 : 18));
    }

    public void Dispose() => _folder.Delete(recursive: true);

    /// <summary>The two mistakes that must be impossible, and no look for curl before there are leaves.</summary>
    private static void Check(string log, Lived whole, Lived lived, bool withJournal)
    {
        var zone = lived.Result.Site.Zone;
        DateOnly On(DateTimeOffset at) => Weather.LocalDay.Of(at, zone);
        foreach (
            var occasion in lived
                .Result.Alerts.SelectMany(alert => alert.Occasions)
                .Where(occasion => occasion is LevelRisen or ScoutingDue))
            Assert.True(
                On(occasion.At) >= lived.MayBeOpen,
                $"{log}: {occasion.Kind} on {On(occasion.At)}, buds may be open from {lived.MayBeOpen}");
        // Where the grower saw the buds shut his eyes count; else nothing is called shut that the whole record says may be open.
        if (!withJournal)
            Assert.True(
                lived.MayBeOpen <= whole.MayBeOpen,
                $"{log}: may be open from {lived.MayBeOpen}, by the whole record from {whole.MayBeOpen}");
        Assert.All(
            lived.Looks,
            look =>
                Assert.True(
                    On(look.At) > whole.StageDay(11), $"{log}: a look for curl on {On(look.At)}, leaves from {whole.StageDay(11)}"));
        Assert.All(
            lived.Result.Alerts.SelectMany(alert => alert.Occasions).OfType<LevelRisen>().Where(risen => !risen.StageSure),
            risen => Assert.True(risen.Urgency < Urgency.High));
    }

    /// <summary>
    /// An invented grower sees the stages when the expected tree of the whole record comes to them, and looks once before.
    /// </summary>
    private static IReadOnlyList<(DateOnly On, int Code)> Journal(Lived whole) =>
        [
            (whole.StageDay(1)!.Value.AddDays(-10), 0),
            (whole.StageDay(1)!.Value, 1),
            (whole.StageDay(9)!.Value, 9),
            (whole.StageDay(65)!.Value, 65),
            (whole.StageDay(69)!.Value, 69),
        ];

    private static string Row(string log, bool fromAutumn, bool withJournal, Lived lived)
    {
        string Day(DateOnly? day) => day?.ToString("d MMM", CultureInfo.InvariantCulture) ?? "–";
        int Level(Level level) => lived.Count(occasion => occasion is LevelRisen risen && risen.To == level);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"| {log} | {(fromAutumn ? "autumn" : "1 Jan")} | {(withJournal ? "yes" : "no")} | {Day(lived.MayBeOpen)} | "
                + $"{Day(lived.StageDay(1))} | {Day(lived.StageDay(11))} | {lived.Windows} | "
                + $"{lived.Count(occasion => occasion is LookAtBuds)} | {Level(Infection.Level.Possible)} | "
                + $"{Level(Infection.Level.Likely)} | {Level(Infection.Level.Severe)} | "
                + $"{lived.Count(occasion => occasion is ScoutingDue)} | "
                + $"{lived.Count(occasion => occasion is not (LookAtBuds or LevelRisen or ScoutingDue))} | {lived.Result.Alerts.Count} |");
    }

    private Lived Live(
        (string Log, int Minutes, string Zone, double Latitude, double Longitude, int Year, bool HasAutumn) log,
        bool fromAutumn,
        IReadOnlyList<(DateOnly On, int Code)> seen)
    {
        var length = TimeSpan.FromMinutes(log.Minutes);
        var zone = TimeZoneInfo.FindSystemTimeZoneById(log.Zone);
        var site = new Site
        {
            Id = "garden",
            Zone = zone,
            LatitudeDeg = log.Latitude,
            LongitudeDeg = log.Longitude,
            Step = length,
            LeafWetOn = 10,
            LeafWetOff = 10,
            Plantings = [new Planting("peach") { Follows = StageNeeds.Default }],
        };
        var journal = seen.Select((one, i) => (JournalEntry)new StageEntry(i + 1, site.Id, "peach", one.On, one.Code)).ToList();
        var result = Replay.Run(
            site,
            [Cut(log, fromAutumn)],
            new LogOptions { Period = length, Stamp = LogStamp.Start },
            journal: journal,
            alerts: new AlertPolicyOptions { Zone = zone });
        return new Lived(result, [.. result.Care.OfType<ScoutingFellDue>()]);
    }

    /// <summary>
    /// The year's rows to the end of August. A log without the autumn before has its own last autumn put before it, a year back.
    /// </summary>
    private string Cut(
        (string Log, int Minutes, string Zone, double Latitude, double Longitude, int Year, bool HasAutumn) log,
        bool fromAutumn)
    {
        var lines = OutsideData.Lines(OutsideData.Weather(log.Log + ".csv")!).ToArray();
        var text = new StringBuilder(lines[0]).Append('\n');
        var newYear = new DateTime(log.Year, 1, 1, 0, 0, 0, DateTimeKind.Utc);
        if (fromAutumn && !log.HasAutumn)
        {
            foreach (var line in lines.Skip(1).Where(line => Time(line) >= new DateTime(log.Year, 9, 1)))
                text.Append(Time(line).AddYears(-1).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture))
                    .Append(line.AsSpan(line.IndexOf(',', StringComparison.Ordinal)))
                    .Append('\n');
        }

        var from = fromAutumn ? newYear.AddMonths(-4) : newYear;
        foreach (var line in lines.Skip(1).Where(line => Time(line) >= from && Time(line) < newYear.AddMonths(8)))
            text.Append(line).Append('\n');
        var path = Path.Combine(_folder.FullName, $"{log.Log}-{fromAutumn}.csv");
        File.WriteAllText(path, text.ToString());
        return path;

        static DateTime Time(string line) =>
            DateTime.Parse(
                line[..line.IndexOf(',', StringComparison.Ordinal)],
                CultureInfo.InvariantCulture,
                DateTimeStyles.AdjustToUniversal);
    }
}
