using System.CommandLine;
using BackyardSentinel.Commands.Explain;
using BackyardSentinel.Commands.Fit;

namespace BackyardSentinel.Tests.Commands;

/// <summary>An invented garden with a store of its own in a folder that goes away.</summary>
internal sealed class ExplainGarden : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-explain-").FullName;
    private readonly StoreBatch _batch = new();
    private long _stamp;

    public ExplainGarden(
        string sensors = "temperature humidity rain",
        string place = "latitude: 46.05, longitude: 14.51, ",
        string plantings = "{ id: white-peach, kind: peach }, { id: gate-nectarine, kind: nectarine, stage: 9 }",
        string rule = "wet-hours",
        string units = "metric")
    {
        var series = string.Join(", ", sensors.Split(' ').Select(quantity => $"{{ quantity: {quantity}, topic: garden/{quantity} }}"));
        File.WriteAllText(
            Garden,
            $"name: Tannery Lane\nunits: {units}\nbroker: {{ embedded: true }}\nstore: {{ path: '{Store}' }}\nsites:\n  - {{ id: "
                + $"south-wall, zone: Europe/Ljubljana, {place}level_rule: {rule}, series: [{series}], plantings: [{plantings}] }}\n");
    }

    /// <summary>What the sensor under the rain shelter says, where there is one.</summary>
    public double UnderShelter { get; set; }

    /// <summary>What each leaf wetness sensor says, where there are some; <c>null</c>: the number of the rain.</summary>
    public double? LeafWetness { get; set; }

    public string Garden => Path.Combine(_folder, "garden.yaml");

    public string Store => Path.Combine(_folder, "garden.db");

    public string Folder => _folder;

    public void Dispose() => Directory.Delete(_folder, true);

    /// <summary>Readings every half hour over [from, until); an hour's rain comes in two halves.</summary>
    public ExplainGarden Weather(
        DateTimeOffset from,
        DateTimeOffset until,
        Func<DateTimeOffset, double> tempC,
        double humidityPct = 60,
        double rainMmPerHour = 0,
        params Quantity[] silent)
    {
        using var store = SentinelStore.Open(Store);
        var series = GardenFileReader.Read(Garden).Garden!.Series;
        for (var at = from; at < until; at = at.AddMinutes(30))
        {
            foreach (var map in series)
            {
                var value = map.Quantity switch
                {
                    Quantity.Temperature => tempC(at),
                    Quantity.Humidity => humidityPct,
                    Quantity.LeafWetness when LeafWetness is { } wetness => wetness,
                    Quantity.LeafWetnessUnderShelter => UnderShelter,
                    _ => rainMmPerHour / 2,
                };
                _stamp = Math.Max(at.ToUnixTimeMilliseconds() * 1000, _stamp + 1);
                if (!silent.Contains(map.Quantity))
                    _batch.Readings.Add(new StoredReading(store.SeriesId(map.Name), at.ToUnixTimeMilliseconds(), value, _stamp));
            }
        }

        store.Commit(_batch);
        _batch.Clear();
        return this;
    }

    public ExplainGarden Weather(
        DateTimeOffset from,
        DateTimeOffset until,
        double tempC,
        double humidityPct = 60,
        double rainMmPerHour = 0,
        params Quantity[] silent
    ) => Weather(from, until, _ => tempC, humidityPct, rainMmPerHour, silent);

    public ExplainGarden Saw(string on, int code)
    {
        using var book = JournalBook.Open(Store);
        var day = DateOnly.Parse(on, CultureInfo.InvariantCulture);
        book.Add(
            new StageEntry(0, "south-wall", "white-peach", day, code),
            new DateTimeOffset(day.ToDateTime(new TimeOnly(12, 0)), TimeSpan.Zero));
        return this;
    }

    public ExplainGarden PutShelterOn(string on)
    {
        using var book = JournalBook.Open(Store);
        var day = DateOnly.Parse(on, CultureInfo.InvariantCulture);
        book.Add(
            new ShelterEntry(0, "south-wall", "white-peach", day, true),
            new DateTimeOffset(day.ToDateTime(new TimeOnly(12, 0)), TimeSpan.Zero));
        return this;
    }

    public static DateTimeOffset Utc(int year, int month, int day, int hour = 0, int minute = 0) =>
        new(year, month, day, hour, minute, 0, TimeSpan.Zero);

    public (int Code, string Output, string Error) Explain(DateTimeOffset now, params string[] options) =>
        Run(ExplainCommand.Create(new Fixed(now)), options);

    public (int Code, string Output, string Error) Fit(DateTimeOffset now, params string[] options) =>
        Run(FitCommand.Create(new Fixed(now)), options);

    private (int, string, string) Run(Command command, string[] options)
    {
        StringWriter output = new(), error = new();
        var code = command.Parse(["--garden", Garden, .. options]).Invoke(new InvocationConfiguration { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }

    private sealed class Fixed(DateTimeOffset now) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => now;
    }
}
