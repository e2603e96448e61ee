using BackyardSentinel.Forecasts;
using BackyardSentinel.Live;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using Serilog.Core;

namespace BackyardSentinel.Hosting;

public sealed class ForecastWiringTests : IDisposable
{
    private const string Rows = """[{"when": "2027-02-01T06:00:00Z", "t": 41, "r": 0.5}, {"when": "2027-02-01T07:00:00Z", "t": 50, "r": 0}]""";

    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-forecast-").FullName;
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2027, 2, 1, 5, 30, 0, TimeSpan.Zero));

    private string Path => System.IO.Path.Combine(_folder, "forecast.json");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>41 °F is 5 °C by definition; an inch is 25.4 mm (international yard and pound agreement, 1959).</summary>
    [Fact]
    public async Task An_address_is_asked_and_its_numbers_are_read_by_the_map_of_the_garden_file()
    {
        var ct = TestContext.Current.CancellationToken;
        await using var server = await ForecastServer.StartAsync(ForecastServer.Body(Rows));
        File.WriteAllText(System.IO.Path.Combine(_folder, "url"), server.Url.AbsoluteUri);
        var wiring = ForecastWiring.Of(
            Settings($"kind: http\nurl: file:{_folder}/url\ncontact: garden@example.org\nallow_private: true\nevery: 45m"));

        var forecast = await FirstAsync(wiring, ct);

        Assert.Equal(TimeSpan.FromMinutes(45), wiring.Source!.Every);
        Assert.Contains("(garden@example.org)", server.Asked.First().UserAgent.ToString(), StringComparison.Ordinal);
        AssertHours(forecast);
        Assert.Equal(("Weir Office", "Data: Weir Office"), (forecast.Source, forecast.Attribution));
        Assert.Null(wiring.Topic);
    }

    [Fact]
    public async Task A_file_is_read_and_is_as_old_as_it_was_written()
    {
        File.WriteAllText(Path, Rows);
        File.SetLastWriteTimeUtc(Path, _time.GetUtcNow().UtcDateTime.AddHours(-13));

        var forecast = await FirstAsync(ForecastWiring.Of(Settings($"kind: file\npath: {Path}")), TestContext.Current.CancellationToken);

        AssertHours(forecast);
        Assert.Equal(_time.GetUtcNow().AddHours(-13), forecast.Issued);
        Assert.True(forecast.IsStale(_time.GetUtcNow()));
    }

    [Fact]
    public void A_file_is_handed_on_again_only_when_it_has_changed()
    {
        List<Forecast> taken = [];
        var poller = new ForecastFilePoller(
            Path,
            Settings($"kind: file\npath: {Path}").Map,
            TimeSpan.FromHours(1),
            taken.Add,
            _time,
            Logger.None);

        Assert.False(poller.Look());
        File.WriteAllText(Path, Rows);
        File.SetLastWriteTimeUtc(Path, _time.GetUtcNow().UtcDateTime.AddMinutes(-3));
        Assert.True(poller.Look());
        Assert.False(poller.Look());
        File.WriteAllText(Path, "oh no");
        File.SetLastWriteTimeUtc(Path, _time.GetUtcNow().UtcDateTime.AddMinutes(-2));
        Assert.False(poller.Look());
        File.WriteAllText(Path, Rows);
        File.SetLastWriteTimeUtc(Path, _time.GetUtcNow().UtcDateTime.AddMinutes(-1));
        Assert.True(poller.Look());
        Assert.Equal(2, taken.Count);
    }

    [Fact]
    public void A_topic_comes_with_its_map_and_without_shape_in_the_own_form()
    {
        var mapped = ForecastWiring.Of(Settings("kind: mqtt\ntopic: weather/days"));
        var own = ForecastWiring.Of(new ForecastSettings { Kind = ForecastWay.Mqtt, Topic = "weather/days" });

        Assert.Equal("weather/days", mapped.Topic!.Value.Topic);
        Assert.NotNull(mapped.Topic!.Value.Map);
        Assert.Equal(("weather/days", null), own.Topic);
    }

    [Fact]
    public void An_address_that_cannot_be_had_is_one_sentence()
    {
        var problem = Assert.Throws<WiringProblemException>(() =>
            ForecastWiring.Of(Settings($"kind: http\nurl: file:{_folder}/none\ncontact: garden@example.org")));

        Assert.Equal(
            $"The url of the forecast cannot be had: there is no file {_folder}/none. Put it there, or change the garden file.",
            problem.Message);
    }

    [Fact]
    public void Every_word_of_the_garden_file_has_its_meaning()
    {
        var map = Settings("kind: mqtt\ntopic: w").Map!;

        Assert.Equal((ForecastShape.List, "when", "Europe/Ljubljana"), (map.Shape, map.Time, map.TimeZone!.Id));
        Assert.Equal(
            [
                (ForecastQuantity.Temperature, Unit.Fahrenheit, ForecastKind.Instant, ForecastPeriod.Next, 1),
                (ForecastQuantity.Rain, Unit.Inch, ForecastKind.Sum, ForecastPeriod.Next, 1),
                (ForecastQuantity.RainProbability, Unit.Fraction, ForecastKind.Mean, ForecastPeriod.Previous, 6),
                (ForecastQuantity.WindSpeed, Unit.Knot, ForecastKind.Mean, ForecastPeriod.Interval, 1),
                (ForecastQuantity.Humidity, Unit.Percent, ForecastKind.Instant, ForecastPeriod.Next, 1),
                (ForecastQuantity.Cloud, Unit.Percent, ForecastKind.Instant, ForecastPeriod.Next, 1),
            ],
            map.Quantities.Select(field => (field.Quantity, field.Unit, field.Kind, field.Period, field.Hours)));
    }

    private static void AssertHours(Forecast forecast)
    {
        Assert.Equal(new DateTimeOffset(2027, 2, 1, 6, 0, 0, TimeSpan.Zero), forecast.Hours[0].Start);
        Assert.Equal(5, forecast.Hours[0].TemperatureC!.Value, 1e-9);
        Assert.Equal(12.7, forecast.Hours[0].RainMm!.Value, 1e-9);
    }

    private async Task<Forecast> FirstAsync(ForecastWiring wiring, CancellationToken ct)
    {
        var inlet = new ForecastInlet();
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(ct);
        var running = wiring.RunAsync(inlet, _time, () => 0.5, Logger.None, null, stop.Token);
        Forecast? forecast = null;
        await Delivery.Some.Until(() => (forecast = inlet.Take()) is not null, ct);
        await stop.CancelAsync();
        await running;
        return forecast!;
    }

    private ForecastSettings Settings(string source)
    {
        var path = System.IO.Path.Combine(_folder, "garden.yaml");
        File.WriteAllText(path, "forecast:\n" + string.Join('\n', source.ReplaceLineEndings("\n").Split('\n').Select(line => "  " + line)) + "\n" + """
              source: Weir Office
              attribution: "Data: Weir Office"
              shape: list
              time: when
              zone: Europe/Ljubljana
              quantities:
                - {quantity: temperature, path: t, unit: F}
                - {quantity: rain, path: r, unit: in, period: next}
                - {quantity: rain-probability, path: p, unit: fraction, kind: mean, period: previous, hours: 6}
                - {quantity: wind-speed, path: w, unit: kn, kind: mean, period: interval}
                - {quantity: humidity, path: h}
                - {quantity: cloud, path: c}
            sites:
              - id: south-wall
                series:
                  - {quantity: temperature, topic: g/t}
                  - {quantity: humidity, topic: g/h}
            """);
        var (garden, problems) = GardenFileReader.Read(path);
        Assert.True(garden is not null, string.Join("; ", problems));
        return garden.Forecast!;
    }
}
