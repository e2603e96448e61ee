using System.Text.Json;
using BackyardSentinel.Alerting;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;
using BackyardSentinel.Phenology;
using BackyardSentinel.Tests;

namespace BackyardSentinel.Hosting;

/// <summary>What two recorded seasons would have put on the phone.</summary>
public sealed class AlertWiringSeasonTests
{
    /// <summary>More messages between midwinter and midsummer would be a nuisance; the number is assumed.</summary>
    private const int MostInASeason = 40;

    public static TheoryData<string, int, string, double> Logs => new()
    {
        { "pnw14_pdx", 60, "America/Los_Angeles", 45.59 },
        { "whately15", 10, "America/New_York", 42.44 },
    };

    /// <summary>The windows and their levels are those of the independent program that worked out the expected file.</summary>
    [Theory]
    [MemberData(nameof(Logs))]
    public void Every_window_of_the_year_is_told_up_to_its_level_and_nothing_is_told_without_one(
        string log,
        int minutes,
        string zone,
        double latitudeDeg)
    {
        var json = OutsideData.Weather(Path.Combine("expected", log + ".json"));
        if (json is null)
            Assert.Skip(OutsideData.WeatherMissing);
        using var expected = JsonDocument.Parse(File.ReadAllText(json));
        var windows = expected
            .RootElement.GetProperty("windows")
            .EnumerateArray()
            .Where(window => window.GetProperty("rule").GetString() == RuleName.WetHours.Word())
            .Select(window =>
                (
                    From: window.GetProperty("opened_at").GetDateTimeOffset(),
                    To: window.GetProperty("closed_at").GetDateTimeOffset(),
                    Level: window.GetProperty("level").GetString()))
            .ToList();

        // No limit a day and no hold, so that what is told can be held against what happened.
        var told = Season(
                log,
                minutes,
                zone,
                latitudeDeg,
                followed: false,
                new AlertPolicyOptions { MaxPerDay = 50, LevelHold = TimeSpan.Zero })
            .Select(alert => alert.Occasions.Single())
            .OfType<LevelRisen>()
            .ToList();

        // Only a possible level within seven days after another one stays untold.
        bool IsQuiet((DateTimeOffset From, DateTimeOffset To, string? Level) window) =>
            window.Level == "possible" && told.Any(risen => risen.At < window.From && window.From - risen.At < TimeSpan.FromDays(7));

        Assert.NotEmpty(windows);
        Assert.Equal(
            windows.Select(window => (window.From, window.Level)),
            windows.Select(window =>
                (
                    window.From,
                    told.Where(risen => risen.Since >= window.From && risen.Since <= window.To)
                        .Select(risen => risen.To)
                        .DefaultIfEmpty(Level.Clear)
                        .Max()
                        is var highest
                    && highest == Level.Clear
                    && IsQuiet(window)
                        ? window.Level
                        : (string?)highest.Word())));
        Assert.All(told, risen => Assert.Contains(windows, window => risen.Since >= window.From && risen.Since <= window.To));
    }

    [Theory]
    [MemberData(nameof(Logs))]
    public void A_season_puts_a_bearable_number_of_messages_on_the_phone_each_within_its_limits(
        string log,
        int minutes,
        string zone,
        double latitudeDeg)
    {
        var words = AlertWords.English();
        var alerts = Season(log, minutes, zone, latitudeDeg, followed: true, null);

        Assert.InRange(alerts.Count, 5, MostInASeason);
        Assert.All(alerts, alert =>
        {
            var message = words.Say(alert, _ => Zone(zone)).For(alert);
            Assert.InRange(message.Title.Length, 1, AlertWords.MaxTitle);
            Assert.InRange(message.Text.Length, 1, AlertWords.MaxBody);
            Assert.Equal(("south-wall", "white-peach"), (message.Site, Assert.Single(message.Plantings)));
        });
        Assert.Equal(alerts.Count, alerts.Select(alert => alert.Id).Distinct().Count());
        Assert.All(alerts.GroupBy(alert => TimeZoneInfo.ConvertTime(alert.At, Zone(zone)).Date), day => Assert.InRange(day.Count(), 1, 7));
    }

    [Fact]
    public void The_page_on_alerts_lists_the_messages_of_a_recorded_season()
    {
        var words = AlertWords.English();
        var zone = Zone("America/New_York");
        var rows = Season("whately15", 10, zone.Id, 42.44, followed: true, null)
            .Select(alert =>
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"| {TimeZoneInfo.ConvertTime(alert.At, zone):d MMM HH:mm} | {alert.Urgency.ToString().ToLowerInvariant()} | "
                        + $"{words.Say(alert, _ => zone).Title} |"));

        if (Environment.GetEnvironmentVariable("SENTINEL_WRITE_YEARS") == "1")
            WriteAnew(rows);
        var listed = File.ReadAllLines(Checkout.Path("docs", "alerts.md"))
            .SkipWhile(line => line != "| local time | urgency | title |")
            .Skip(2)
            .TakeWhile(line => line.StartsWith('|'));

        Assert.Equal(rows, listed);
    }

    private static void WriteAnew(IEnumerable<string> rows)
    {
        var page = Checkout.Path("docs", "alerts.md");
        var lines = File.ReadAllLines(page).ToList();
        var at = lines.IndexOf("| local time | urgency | title |") + 2;
        lines.RemoveRange(at, lines.Skip(at).TakeWhile(line => line.StartsWith('|')).Count());
        lines.InsertRange(at, rows);
        File.WriteAllLines(page, lines);
    }

    private static IReadOnlyList<Alert> Season(
        string log,
        int minutes,
        string zone,
        double latitudeDeg,
        bool followed,
        AlertPolicyOptions? policy)
    {
        var csv = OutsideData.Weather(log + ".csv");
        if (csv is null)
            Assert.Skip(OutsideData.WeatherMissing);
        var length = TimeSpan.FromMinutes(minutes);
        var site = new Site
        {
            Id = "south-wall",
            Zone = Zone(zone),
            LatitudeDeg = latitudeDeg,
            Step = length,
            Plantings = [new Planting("white-peach") { Follows = followed ? StageNeeds.Default : null }],
        };
        return Replay
            .Run(
                site,
                [csv],
                new LogOptions { Period = length, Stamp = LogStamp.Start },
                journal: followed ? Journal(log) : null,
                alerts: (policy ?? new AlertPolicyOptions()) with
                {
                    Zone = site.Zone,
                })
            .Alerts;
    }

    /// <summary>Invented: dormant, leaf buds swollen, green tips, full bloom and petals down, on days that such a place may see.</summary>
    private static IReadOnlyList<JournalEntry> Journal(string log)
    {
        (int Code, string On)[] seen =
            log == "whately15"
                ? [(0, "2015-01-01"), (1, "2015-03-28"), (9, "2015-04-14"), (65, "2015-05-02"), (69, "2015-05-14")]
                : [(0, "2014-01-01"), (1, "2014-02-22"), (9, "2014-03-08"), (65, "2014-03-22"), (69, "2014-04-08")];
        return
        [
            .. seen.Select(
                (stage, i) =>
                    new StageEntry(
                        i + 1,
                        "south-wall",
                        "white-peach",
                        DateOnly.ParseExact(stage.On, "yyyy-MM-dd", CultureInfo.InvariantCulture),
                        stage.Code)),
        ];
    }

    private static TimeZoneInfo Zone(string id) => TimeZoneInfo.FindSystemTimeZoneById(id);
}
