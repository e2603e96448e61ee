using BackyardSentinel.Delivery;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Guards;
using BackyardSentinel.Units;

namespace BackyardSentinel.Tests.Configuration;

public class ForecastSettingsTests
{
    [Fact]
    public void Every_key_of_the_forecast_lands_where_it_belongs()
    {
        var (garden, _) = GardenFileReader.Read(GardenFixtures.Scenario("good", "every-key.yaml"));
        var forecast = garden!.Forecast!;
        Assert.Equal(
            [
                new ForecastField(ForecastQuantity.Temperature, "air.list", Unit.Fahrenheit, 0.1, unitPath: "body.air.unit"),
                new ForecastField(
                    ForecastQuantity.Rain,
                    "rain.values",
                    Unit.Inch,
                    kind: ForecastKind.Sum,
                    period: ForecastPeriod.Previous,
                    hours: 6),
                new ForecastField(
                    ForecastQuantity.Cloud,
                    "sky.values",
                    Unit.Fraction,
                    kind: ForecastKind.Mean,
                    period: ForecastPeriod.Interval),
            ],
            forecast.Map!.Quantities);
        Assert.Equal(
            new ForecastSettings
            {
                Kind = ForecastWay.Http,
                Url = KeptValue.Parse("env:BACKYARD_SENTINEL_TEST_FORECAST"),
                Every = TimeSpan.FromHours(3),
                Contact = "garden@example.org",
                Headers = forecast.Headers,
                AllowPrivate = true,
                Map = new ForecastMap
                {
                    Shape = ForecastShape.Layers,
                    Source = "Weir Office",
                    Attribution = "Weather by an invented office",
                    Licence = "CC BY 4.0",
                    Rows = "properties",
                    Time = "span",
                    Value = "reading",
                    TimeZone = forecast.Map.TimeZone,
                    Issued = "body.made",
                    Quantities = forecast.Map.Quantities,
                },
            },
            forecast);
        Assert.Equal(
            [new ReceiverHeader("X-Key", KeptValue.Parse("env:BACKYARD_SENTINEL_TEST_KEY"), true)],
            forecast.Headers);
        Assert.Equal("America/Santiago", forecast.Map.TimeZone!.Id);
    }

    [Theory]
    [InlineData("kind: file, path: no-such.json", ForecastWay.File)]
    [InlineData("kind: mqtt, topic: weather/f", ForecastWay.Mqtt)]
    public void A_forecast_in_the_programs_own_form_needs_no_more_than_its_place(string keys, ForecastWay kind)
    {
        var forecast = Read(keys)!;
        Assert.Equal(
            new ForecastSettings
            {
                Kind = kind,
                Topic = forecast.Topic,
                Path = forecast.Path,
                Headers = forecast.Headers,
            },
            forecast);
        Assert.Null(forecast.Map);
        Assert.Empty(forecast.Headers);
    }

    [Fact]
    public void A_forecast_file_that_is_not_there_yet_is_noted()
    {
        var text = "forecast: {kind: file, path: no-such.json}\n" + File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml"));
        Assert.Contains(
            GardenFileReader.ReadText("g.yaml", text).Problems,
            p =>
                p.IsNote
                && p.Message.Text
                    == "there is no file 'no-such.json' at the moment; until there is, nothing is said about the coming days");
    }

    [Fact]
    public void Rain_is_a_sum_and_a_SenML_name_is_no_path()
    {
        var one = Assert.Single(
            Read("kind: mqtt, topic: f, shape: senml, quantities: [{quantity: rain, path: 'urn:dev:mac:00;rain 1'}]")!.Map!.Quantities);
        Assert.Equal(
            new ForecastField(
                ForecastQuantity.Rain,
                "urn:dev:mac:00;rain 1",
                kind: ForecastKind.Sum,
                period: ForecastPeriod.Interval),
            one);
    }

    [Fact]
    public void Rain_for_one_hour_and_for_six_may_stand_side_by_side() =>
        Assert.Equal(
            2,
            Read(
                "kind: mqtt, topic: f, shape: records, quantities: [{quantity: rain, path: one, period: next}, {quantity: rain, "
                    + "path: six, period: next, hours: 6}]"
            )!.Map!.Quantities.Count);

    private static ForecastSettings? Read(string keys) =>
        GardenFileReader
            .ReadText("g.yaml", $"forecast: {{{keys}}}\n" + File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml")))
            .Garden?.Forecast;
}
