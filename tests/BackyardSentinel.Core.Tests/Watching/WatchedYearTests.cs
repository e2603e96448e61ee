using System.Text;
using System.Text.RegularExpressions;
using BackyardSentinel.Alerting;
using BackyardSentinel.Events;
using BackyardSentinel.Watching;
using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Watching;

/// <summary>
/// Whole years of invented weather with a journal, put down in tests/scenarios/years: every event, how each planting stands, what lies
/// ahead by a forecast that comes true. They hold the code to what was looked at, not to nature. Where a change is meant,
/// <c>BACKYARD_SENTINEL_WRITE=1</c> writes them anew, and their difference is what changed.
/// </summary>
public sealed partial class WatchedYearTests
{
    private static readonly DateTimeOffset Begin = new(2026, 11, 8, 0, 0, 0, TimeSpan.Zero);

    private static readonly Site Garden = new()
    {
        Id = "yard",
        Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana"),
        LatitudeDeg = 46.05,
        LongitudeDeg = 14.51,
        AltitudeM = 300,
        Step = TimeSpan.FromMinutes(30),
        Climate = DailyClimate.FromMonths([-2, -1, 2, 5, 9, 12, 14, 14, 10, 6, 2, -1], [4, 6, 10, 15, 19, 23, 25, 25, 21, 15, 9, 5]),
        Products = [Copper, Oil, LimeSulfur],
        Plantings =
        [
            new Planting("peach") { Follows = StageNeeds.Default, CanopyAreaM2 = 8, SprayVolumeL = 4, HadCurlLastSpring = true },
            new Planting("nectarine", TreeKind.Nectarine) { Follows = StageNeeds.Default },
            new Planting("apricot", TreeKind.Apricot, 11),
        ],
    };

    [Fact]
    public void A_year_with_a_journal_is_as_it_was_put_down() => Check("journal", new Year(Garden)
    {
        Journal =
        [
            new LeafFallEntry(1, "yard", "peach", new(2026, 11, 12), 80),
            Spray(2, "peach", "2026-11-22", "copper"),
            Spray(3, "nectarine", "2026-11-22", "copper"),
            new StageEntry(4, "yard", "nectarine", new(2027, 1, 20), 0),
            Spray(5, "peach", "2027-01-25", "copper"),
            new StageEntry(6, "yard", "peach", new(2027, 3, 1), 1),
            new ScoutEntry(7, "yard", "peach", new(2027, 4, 12), 20, 3, SymptomStage.Puckered),
            new PickEntry(8, "yard", "peach", new(2027, 4, 12)),
            new ScoutEntry(9, "yard", "nectarine", new(2027, 4, 20), 20, 2),
            new ScoutEntry(10, "yard", "apricot", new(2027, 4, 21), 20, 4, SymptomStage.WhiteBloom),
            new StageEntry(11, "yard", "nectarine", new(2027, 4, 2), 65),
        ],
    });

    [Fact]
    public void A_year_under_a_shelter_is_as_it_was_put_down() => Check("shelter", new Year(Garden with
    {
        UnderShelter = new WetnessScale(50, 20),
        LevelRule = RuleName.RainDay.Word(),
    })
    {
        UnderShelter = true,
        // One while the buds are shut and one of a look's length.
        Holes = [(1730, 10), (2880, 7)],
        Journal =
        [
            new ShelterEntry(1, "yard", "peach", new(2026, 12, 1), true),
            new ShelterEntry(2, "yard", "peach", new(2027, 4, 10), false),
            new ShelterEntry(3, "yard", "apricot", new(2027, 1, 15), true),
            new ShelterEntry(4, "yard", "apricot", new(2027, 2, 10), false),
            new ShelterEntry(5, "yard", "apricot", new(2027, 3, 3), true),
            Spray(6, "nectarine", "2027-02-01", "oil"),
            Spray(7, "nectarine", "2027-02-20", "copper"),
        ],
    });

    [Fact]
    public void A_year_without_a_gauge_and_with_holes_is_as_it_was_put_down() => Check("holes", new Year(Garden with
    {
        Climate = null,
        LongitudeDeg = null,
        HasRainGauge = false,
        LevelRule = RuleName.TwoDay.Word(),
    })
    {
        Holes = [(30, 3), (400, 60), (1100, 700), (2600, 30), (3200, 5), (3400, 26)],
    });

    private static void Check(string name, Year year)
    {
        var told = year.Told();
        var path = Path.Combine(OutsideData.Scenarios("years"), name + ".txt");
        if (Environment.GetEnvironmentVariable("BACKYARD_SENTINEL_WRITE") == "1")
            File.WriteAllText(path, told);
        Assert.Equal(File.ReadAllText(path).ReplaceLineEndings("\n"), told);
    }

    private static SprayEntry Spray(long number, string planting, string on, string product) =>
        new(number, "yard", planting, DateOnly.ParseExact(on, "yyyy-MM-dd", CultureInfo.InvariantCulture), product, 4);

    /// <summary>What the last figures of a computation are depends on the computer.</summary>
    [GeneratedRegex(@"\d+\.\d{4,}(E-?\d+)?")]
    private static partial Regex Figure { get; }

    [GeneratedRegex(@"(\d\d)/(\d\d)/\d{4}( (\d\d:\d\d):00 \+00:00)?")]
    private static partial Regex Moment { get; }

    /// <summary>What is not so, what is not there, and what a line begins with.</summary>
    [GeneratedRegex(@"(UnknownHours = 0|\w+ = (False|yard|System.*?]|<>.*?]|))(, |(?= }))|\b(At|Key) = [^,]*(, |(?= }))|\w+ (?={)")]
    private static partial Regex Empty { get; }

    private static string Short(object record) =>
        Moment.Replace(Empty.Replace(record.ToString()!, ""), "$1-$2 $4").Replace(" = ", "=", StringComparison.Ordinal);

    private sealed record Year(Site Site)
    {
        private const int Hours = 24 * 220;

        public IReadOnlyList<JournalEntry> Journal { get; init; } = [];

        public bool UnderShelter { get; init; }

        /// <summary>Hours in which nothing is heard: the first of each, and how many.</summary>
        public (int From, int Count)[] Holes { get; init; } = [];

        public string Told()
        {
            var (text, weather) = (new StringBuilder(), Weather());
            List<SentinelEvent> news = [];
            var watch = new SiteWatch(Site, news.Add, Journal);
            for (var hour = 0; hour < Hours; hour++)
            {
                var at = Begin.AddHours(hour);
                if (!Holes.Any(hole => hour >= hole.From && hour < hole.From + hole.Count))
                    Accept(watch, at, weather[hour]);
                watch.AdvanceTo(at.AddHours(1));
                foreach (var one in news)
                    Tell(text, watch, one);
                news.Clear();
                if (hour % (24 * 4) == 5)
                    Ahead(text, watch, at, weather.AsSpan(hour + 1, 120));
                if (hour % (24 * 12) == 5)
                    Stand(text, watch, at);
            }

            watch.Finish();
            foreach (var one in news)
                Tell(text, watch, one);
            return Figure.Replace(text.ToString(), match =>
                Math.Round(double.Parse(match.Value, CultureInfo.InvariantCulture), 3).ToString(CultureInfo.InvariantCulture));
        }

        private void Accept(SiteWatch watch, DateTimeOffset at, in (double TempC, double Humidity, double RainMm) now)
        {
            watch.Accept(Some.Temperature(at, now.TempC, 60), at);
            watch.Accept(Some.Humidity(at, now.Humidity, 60), at);
            if (UnderShelter && at.Month != 2)
                watch.Accept(Some.LeafUnderShelter(at, now.RainMm > 0.9 ? 100 : 0, 60), at);
            if (Site.HasRainGauge)
                watch.Accept(Some.Rain(at, now.RainMm, 60), at);
        }

        private static void Tell(StringBuilder text, SiteWatch watch, SentinelEvent fact)
        {
            text.Append(CultureInfo.InvariantCulture, $"{fact.At:MM-dd HH:mm} {fact.Key} {Short(fact)}\n");
            if (OccasionOf.Fact(fact, watch.Site, watch.Plantings) is { } occasion)
                Tell(text, occasion);
        }

        private static void Tell(StringBuilder text, Occasion occasion) => text.Append(
            CultureInfo.InvariantCulture,
            $"    {occasion.Episode} {occasion.Rung} {occasion.Urgency} {occasion.UsefulUntil:MM-dd HH:mm}\n");

        private void Ahead(
            StringBuilder text, SiteWatch watch, DateTimeOffset at, ReadOnlySpan<(double TempC, double Humidity, double RainMm)> weather)
        {
            List<ForecastHour> hours = [];
            foreach (var one in weather)
                hours.Add(new ForecastHour(at.AddHours(hours.Count + 1), one.TempC, one.Humidity, one.RainMm, 0, 2.5, 20));
            var forecast = new Forecast("invented", at, hours);
            foreach (var occasion in SiteOutlook.Look(watch, Journal, at.Day % 5 == 0 ? null : forecast, at.AddHours(1)))
                text.Append(CultureInfo.InvariantCulture, $"{at:MM-dd HH:mm} ahead: {Short(occasion)}\n");
        }

        private static void Stand(StringBuilder text, SiteWatch watch, DateTimeOffset at)
        {
            foreach (var planting in watch.Plantings)
            {
                var (risk, looks) = (planting.Risk, planting.Incubations.Select(one =>
                    string.Create(CultureInfo.InvariantCulture, $"{one.Possible:MM-dd}/{one.LikelyFrom:MM-dd}/{one.Last:MM-dd}")));
                text.Append(
                    CultureInfo.InvariantCulture,
                    $"{at:MM-dd HH:mm} {Short(risk)}\n    {string.Join(' ', risk.Opinions)}, open sky {planting.OpenSkyLevel}, "
                        + $"{planting.KeptOff.Count} kept off, {planting.Cover.Cover} {planting.Cover.RainMm} mm, "
                        + $"looks {string.Join(' ', looks)}\n");
            }
        }

        /// <summary>Frosty nights in winter, showers and days of rain, mild and cold weeks.</summary>
        private static (double TempC, double Humidity, double RainMm)[] Weather()
        {
            var (random, all) = (new Random(7), new (double, double, double)[Hours + 200]);
            var (wetUntil, dryUntil, mm) = (0, 30, 0.0);
            for (var hour = 0; hour < all.Length; hour++)
            {
                if (hour >= dryUntil && hour >= wetUntil)
                {
                    (wetUntil, mm) = (hour + random.Next(2, 34), random.Next(1, 14) / 10.0);
                    dryUntil = wetUntil + random.Next(10, 260);
                }

                var (at, isWet) = (Begin.AddHours(hour), hour < wetUntil);
                var tempC = 11 - (9 * Math.Cos(2 * Math.PI * (at.DayOfYear - 20) / 365.25)) + (3 * Math.Sin(hour / 61.0))
                    + ((isWet ? 1 : 5) * Math.Sin(2 * Math.PI * (at.Hour - 9) / 24.0));
                all[hour] = (
                    Math.Round(tempC, 1), isWet ? 97 : Math.Round(64 - (18 * Math.Sin(2 * Math.PI * (at.Hour - 9) / 24.0))),
                    isWet && hour % 3 > 0 ? mm : 0);
            }

            return all;
        }
    }
}
