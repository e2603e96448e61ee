using BackyardSentinel.Events;

namespace BackyardSentinel.Tests.Phenology;

/// <summary>A recorded year of a station, cut and holed as asked, fed to a watch over one planting.</summary>
internal sealed class RecordedYear
{
    private static readonly Dictionary<string, (double Latitude, double Longitude, string Zone, int Minutes)> Stations = new(
        StringComparer.Ordinal)
    {
        ["nyc13_ewr"] = (40.69, -74.17, "America/New_York", 60),
        ["pnw14_pdx"] = (45.59, -122.6, "America/Los_Angeles", 60),
        ["sci_cpin"] = (34.0, -119.8, "America/Los_Angeles", 60),
        ["whately15"] = (42.45, -72.7, "America/New_York", 10),
    };

    private static readonly Dictionary<string, List<Dictionary<string, string>>> Logs = new(StringComparer.Ordinal);

    private readonly string _log;

    private RecordedYear(string log) => _log = log;

    /// <summary>The logs at hand; that of Portland is among them everywhere.</summary>
    public static IEnumerable<string> AtHand => Stations.Keys.Where(log => Of(log) is not null);

    public TimeZoneInfo Zone => TimeZoneInfo.FindSystemTimeZoneById(Stations[_log].Zone);

    public double Latitude => Stations[_log].Latitude;

    /// <summary>Keeps a row or leaves it out, by its local day.</summary>
    public Func<DateOnly, bool> Keep { get; init; } = _ => true;

    public StageNeeds Needs { get; init; } = StageNeeds.Default;

    public DailyClimate? Climate { get; init; }

    public (string On, int Code)[] Seen { get; init; } = [];

    /// <summary>Time runs on to this day after the last row.</summary>
    public DateOnly? Until { get; init; }

    /// <summary>The whole log, or null where it is not at hand.</summary>
    public static RecordedYear? Of(string log) => OutsideData.Weather(log + ".csv") is null ? null : new RecordedYear(log);

    public RecordedYear With(
        Func<DateOnly, bool>? keep = null,
        StageNeeds? needs = null,
        DailyClimate? climate = null,
        (string, int)[]? seen = null,
        DateOnly? until = null
    ) =>
        new(_log)
        {
            Keep = keep ?? Keep,
            Needs = needs ?? Needs,
            Climate = climate ?? Climate,
            Seen = seen ?? Seen,
            Until = until ?? Until,
        };

    public static StageNeeds Chill(double portions)
    {
        var standard = StageNeeds.Default;
        return portions == standard.ChillNeed ? standard
            : StageNeeds.TryCreate(
                ChillModel.Portions,
                portions,
                HeatFunction.Linear47,
                standard.Stages,
                StageNeeds.DefaultSpread,
                out var needs,
                out var reason)
                ? needs
                : throw new ArgumentException(reason);
    }

    /// <summary>Runs it and gives what was told; <paramref name="each"/> is called after each row.</summary>
    public (SiteWatch Watch, List<SentinelEvent> Events) Run(Action<SiteWatch, DateOnly>? each = null)
    {
        var (latitude, longitude, _, minutes) = Stations[_log];
        var zone = Zone;
        var site = new Site
        {
            Id = "recorded",
            Zone = zone,
            LatitudeDeg = latitude,
            LongitudeDeg = longitude,
            Climate = Climate,
            Step = TimeSpan.FromMinutes(minutes),
            LeafWetOn = 10,
            LeafWetOff = 10,
            Plantings = [new Planting("tree") { Follows = Needs }],
        };
        var journal = Seen.Select((seen, i) => (JournalEntry)new StageEntry(i + 1, site.Id, "tree", Date(seen.On), seen.Code)).ToList();
        List<SentinelEvent> events = [];
        var watch = new SiteWatch(site, events.Add, journal);
        var last = DateTimeOffset.MinValue;
        foreach (var row in Rows())
        {
            var time = DateTimeOffset.Parse(
                row["time"],
                CultureInfo.InvariantCulture,
                DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal);
            var day = LocalDay.Of(time, zone);
            if (!Keep(day))
            {
                // In a silence the clock runs on.
                if (last > DateTimeOffset.MinValue)
                {
                    watch.AdvanceTo(time);
                    each?.Invoke(watch, day);
                }

                continue;
            }

            Read(Quantity.Temperature, "temperature_c");
            Read(Quantity.Humidity, "humidity_pct");
            Read(Quantity.LeafWetness, "leaf_wetness");
            Read(Quantity.Rain, "rain_mm");
            each?.Invoke(watch, day);
            last = time;

            void Read(Quantity quantity, string name)
            {
                if (double.TryParse(row[name], CultureInfo.InvariantCulture, out var value))
                    watch.Accept(new Reading(quantity, time, value, TimeSpan.FromMinutes(minutes)), time);
            }
        }

        for (var day = LocalDay.Of(last, zone); Until is { } until && day <= until; day = day.AddDays(1))
        {
            watch.AdvanceTo(LocalDay.StartOf(day.AddDays(1), zone).AddHours(2));
            each?.Invoke(watch, day.AddDays(1));
        }

        watch.Finish();
        return (watch, events);
    }

    /// <summary>The hours of the log, straight lines over short gaps, in order.</summary>
    public List<(DateTimeOffset Start, double TempC)> Hours()
    {
        List<(DateTimeOffset, double)> hours = [];
        foreach (
            var hour in Rows()
                .Where(row => row["temperature_c"].Length > 0)
                .Select(row =>
                    (
                        Time: DateTimeOffset.Parse(row["time"], CultureInfo.InvariantCulture).ToUniversalTime(),
                        TempC: double.Parse(row["temperature_c"], CultureInfo.InvariantCulture)))
                .GroupBy(row => row.Time.AddTicks(-(row.Time.UtcTicks % TimeSpan.TicksPerHour))))
            hours.Add((hour.Key, hour.Average(row => row.TempC)));
        return hours;
    }

    public static DateOnly Date(string on) => DateOnly.ParseExact(on, "yyyy-MM-dd", CultureInfo.InvariantCulture);

    private List<Dictionary<string, string>> Rows()
    {
        lock (Logs)
            return Logs.TryGetValue(_log, out var rows) ? rows : Logs[_log] = OutsideData.Rows(OutsideData.Weather(_log + ".csv")!);
    }
}
