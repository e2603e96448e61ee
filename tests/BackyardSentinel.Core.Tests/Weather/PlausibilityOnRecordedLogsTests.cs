namespace BackyardSentinel.Tests.Weather;

/// <summary>
/// Against recorded years of four stations (airports of Portland and Newark, a field station at Whately, an island off
/// California; CC0 and MIT): no year of them raises a doubt, and with a mistake put in a doubt comes up within a day.
/// </summary>
public sealed class PlausibilityOnRecordedLogsTests
{
    private static readonly Dictionary<string, (double Latitude, string Zone, double WetOn)> Places = new(StringComparer.Ordinal)
    {
        ["pnw14_pdx"] = (45.6, "America/Los_Angeles", 50),
        ["nyc13_ewr"] = (40.7, "America/New_York", 50),
        ["whately15"] = (42.5, "America/New_York", 50),
        ["sci_cpin"] = (34.0, "America/Los_Angeles", 10),
    };

    public static TheoryData<string, bool, bool> Years =>
        [.. Places.Keys.SelectMany(log => new (string, bool, bool)[] { (log, false, false), (log, true, false), (log, true, true) })];

    [Theory]
    [MemberData(nameof(Years))]
    public void No_recorded_year_raises_a_doubt(string log, bool place, bool climate)
    {
        var readings = Readings(log);
        var watch = Watch(Site(log, readings, place, climate));
        List<SeriesDoubt> raised = [];
        foreach (var reading in readings)
        {
            if (Note(watch, reading))
                raised.AddRange(watch.Standing);
        }

        Assert.Empty(raised);
    }

    [Theory]
    [InlineData("pnw14_pdx", 0)]
    [InlineData("nyc13_ewr", 0)]
    [InlineData("whately15", 0)]
    [InlineData("sci_cpin", 2)]
    public void No_recorded_reading_leaps_as_no_weather_does(string log, int oddHours)
    {
        var readings = Readings(log);
        Assert.Equal(0, Leaps(readings));
        // The readings are an hour apart, and what lies more than half an hour apart never leaps. Laid ten minutes apart each hour's
        // change is held against the limit for half of one: desert wind on the island goes beyond it twice in the year.
        Assert.Equal(
            oddHours, Leaps(readings.Select(reading => reading with { Time = readings[0].Time + (reading.Time - readings[0].Time) / 6 })));
    }

    private static int Leaps(IEnumerable<Reading> readings)
    {
        var builder = new IntervalBuilder(new Site { Id = "yard" });
        return readings.Count(reading => builder.Add(reading) == QualityVerdict.Leap);
    }

    public static TheoryData<string, string, bool, bool> Mistakes
    {
        get
        {
            TheoryData<string, string, bool, bool> rows = [];
            foreach (var log in Places.Keys)
            {
                foreach (var mistake in (string[])["fahrenheit", "fraction", "tenths", "kelvin", "probe", "percent-as-fraction"])
                {
                    rows.Add(log, mistake, false, false);
                    rows.Add(log, mistake, true, true);
                }

                rows.Add(log, "celsius-as-fahrenheit", true, true);
                rows.Add(log, "neighbour", false, false);
            }

            return rows;
        }
    }

    /// <summary>
    /// From every fifteenth day of the year: the share of starts after which the mistake was told within 24 hours of readings.
    /// </summary>
    [Theory]
    [MemberData(nameof(Mistakes))]
    public void A_mistake_is_told_within_a_day_of_readings(string log, string mistake, bool place, bool climate)
    {
        var readings = Readings(log);
        var site = Site(log, readings, place, climate);
        var (starts, told, later) = (0, 0, new List<string>());
        var last = readings[^1].Time.AddDays(-3);
        for (var from = readings[0].Time; from < last; from = from.AddDays(15))
        {
            starts++;
            if (ToldAfter(site, readings, from, mistake) is { } hours)
            {
                if (hours <= 25) told++; else later.Add(string.Create(CultureInfo.InvariantCulture, $"{from:MM-dd} {hours:0} h"));
            }
            else
            {
                later.Add(string.Create(CultureInfo.InvariantCulture, $"{from:MM-dd} never in 20 days"));
            }
        }

        Assert.True(told >= Least(mistake, climate) * starts, $"{told} of {starts}; {string.Join(", ", later)}");
    }

    /// <summary>
    /// What can be asked. Cold months hide °F: 30 °F on a January day is a warm day in °C, and without the place's climate
    /// nothing says that it cannot be. The same holds for °C taken for °F where winters are cold. Such days are dormant ones.
    /// </summary>
    private static double Least(string mistake, bool climate) => mistake switch
    {
        "fahrenheit" or "tenths" => climate ? 0.9 : 0.65,
        "celsius-as-fahrenheit" => 0.6,
        _ => 1,
    };

    private static double? ToldAfter(Site site, List<Reading> readings, DateTimeOffset from, string mistake)
    {
        var watch = Watch(site);
        foreach (var reading in readings)
        {
            if (reading.Time < from)
                continue;
            if (reading.Time > from.AddDays(20))
                return null;
            foreach (var sent in Sent(reading, mistake))
            {
                if (Note(watch, sent))
                    return (reading.Time - from).TotalHours;
            }
        }

        return null;
    }

    private static IEnumerable<Reading> Sent(Reading reading, string mistake) => (mistake, reading.Quantity) switch
    {
        ("fahrenheit", Quantity.Temperature) => [reading with { Value = (reading.Value * 1.8) + 32 }],
        ("kelvin", Quantity.Temperature) => [reading with { Value = reading.Value + 273.15 }],
        ("tenths", Quantity.Temperature) => [reading with { Value = Math.Round(reading.Value * 10) }],
        ("probe", Quantity.Temperature) => [reading with { Value = -127 }],
        ("celsius-as-fahrenheit", Quantity.Temperature) => [reading with { Value = (reading.Value - 32) / 1.8 }],
        ("neighbour", Quantity.Temperature) => [reading, reading with { Value = (reading.Value * 1.8) + 33, Rank = 1 }],
        ("fraction", Quantity.Humidity) => [reading with { Value = reading.Value / 100 }],
        ("percent-as-fraction", Quantity.Humidity) => [reading with { Value = reading.Value * 100 }],
        _ => [reading],
    };

    private static PlausibilityWatch Watch(Site site) =>
        new(site, site.Climate is { } climate ? day => (climate.Of(day).MinC, climate.Of(day).MaxC) : null);

    private static Site Site(string log, List<Reading> readings, bool place, bool climate)
    {
        var (latitude, zone, wetOn) = Places[log];
        var temperatures = readings.Where(reading => reading.Quantity == Quantity.Temperature).ToList();
        List<double> Month(Func<IEnumerable<double>, double> extreme) =>
            [
                .. Enumerable
                    .Range(1, 12)
                    .Select(month =>
                        temperatures
                            .Where(reading => reading.Time.Month == month)
                            .GroupBy(reading => reading.Time.Date)
                            .Select(day => extreme(day.Select(reading => reading.Value)))
                            .DefaultIfEmpty(10)
                            .Average()),
            ];
        return new Site
        {
            Id = log.Replace('_', '-'),
            Zone = TimeZoneInfo.FindSystemTimeZoneById(zone),
            LeafWetOn = wetOn,
            LeafWetOff = Math.Min(wetOn, 20),
            LatitudeDeg = place ? latitude : null,
            Climate = climate ? DailyClimate.FromMonths(Month(values => values.Min()), Month(values => values.Max())) : null,
        };
    }

    private static readonly System.Collections.Concurrent.ConcurrentDictionary<string, List<Reading>> Known = new(StringComparer.Ordinal);

    private static List<Reading> Readings(string log) => Known.GetOrAdd(log, Read);

    private static List<Reading> Read(string log)
    {
        var path = OutsideData.Weather(log + ".csv");
        Assert.SkipWhen(path is null, OutsideData.WeatherMissing);
        List<Reading> readings = [];
        foreach (var row in OutsideData.Rows(path!))
        {
            var time = DateTimeOffset.Parse(row["time"], CultureInfo.InvariantCulture);
            foreach (
                var (column, quantity) in ((string, Quantity)[])
                    [
                        ("temperature_c", Quantity.Temperature),
                        ("humidity_pct", Quantity.Humidity),
                        ("leaf_wetness", Quantity.LeafWetness),
                        ("rain_mm", Quantity.Rain),
                    ])
            {
                if (row[column].Length > 0)
                    readings.Add(new Reading(quantity, time, double.Parse(row[column], CultureInfo.InvariantCulture)));
            }
        }

        return readings;
    }

    private static bool Note(PlausibilityWatch watch, Reading reading) =>
        QualityControl.Judge(reading.Quantity, reading.Value, out _) == QualityVerdict.Impossible
            ? watch.NoteImpossible(reading)
            : watch.Note(reading);
}
