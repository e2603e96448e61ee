using BackyardSentinel.Weather;

namespace BackyardSentinel.Forecasts;

public sealed class ForecastJsonTests
{
    private const string Good = """
        {"source":"Weir Office","issued":"2027-02-01T05:00:00Z","attribution":"Data: Weir Office","licence":"CC BY 4.0","hours":[
          {"start":"2027-02-01T06:00:00Z","temperature_c":2.5,"humidity_pct":91,"rain_mm":0.4,"rain_probability_pct":60,"wind_ms":1.5,"cloud_pct":100},
          {"start":"2027-02-01T07:00:00Z","temperature_c":null,"rain_mm":0}]}
        """;

    private static ForecastResult Read(string json) => ForecastJson.Read(Encoding.UTF8.GetBytes(json));

    [Fact]
    public void A_forecast_in_our_form_is_read()
    {
        var forecast = Read(Good).Forecast!;

        Assert.Equal(("Weir Office", "Data: Weir Office", "CC BY 4.0"), (forecast.Source, forecast.Attribution, forecast.Licence));
        var start = new DateTimeOffset(2027, 2, 1, 6, 0, 0, TimeSpan.Zero);
        Assert.Equal(start.AddHours(-1), forecast.Issued);
        Assert.Equal(
            [new ForecastHour(start, 2.5, 91, 0.4, 60, 1.5, 100), new ForecastHour(start.AddHours(1), null, null, 0)],
            forecast.Hours);
    }

    [Fact]
    public void What_is_written_is_read_back_the_same()
    {
        var forecast = Read(Good).Forecast!;

        var again = ForecastJson.Read(ForecastJson.Write(forecast)).Forecast!;

        Assert.Equal(forecast.Hours, again.Hours);
        Assert.Equal(forecast with { Hours = [] }, again with { Hours = [] });
    }

    [Theory]
    [InlineData("\"source\":\"Weir Office\",", "", "source is missing")]
    [InlineData("T05:00:00Z", "T05:00:00", "issued: the time has no zone")]
    [InlineData("\"hours\"", "\"series\"", "\"series\" is not known")]
    [InlineData("\"wind_ms\"", "\"wind\"", "hours[0].\"wind\" is not known")]
    [InlineData("T07:00", "T07:30", "hours[1].start is not a full hour")]
    [InlineData("T07:00", "T06:00", "hours[1].start is not later")]
    [InlineData(":91", ":191", "hours[0].humidity_pct is 191; it must lie within 0 and 100")]
    [InlineData(":91", ":\"91\"", "hours[0].humidity_pct is neither a number nor null")]
    [InlineData(":91", ":1e999", "humidity_pct")]
    [InlineData("{\"source\"", "<html>{\"source\"", "web page")]
    [InlineData("{\"source\"", "[{\"source\"", "not JSON")]
    public void What_is_wrong_is_said_with_its_place(string good, string bad, string because)
    {
        var result = Read(Good.Replace(good, bad, StringComparison.Ordinal));

        Assert.Null(result.Forecast);
        Assert.Contains(because, result.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_is_read_in_our_form_or_by_a_map()
    {
        var folder = Directory.CreateTempSubdirectory("forecast");
        try
        {
            var path = Path.Combine(folder.FullName, "days.json");
            File.WriteAllText(path, Good);
            Assert.Equal(2, ForecastFile.Read(path, null, default).Forecast!.Hours.Count);

            var fixture = ForecastFixture.Load("list-plain");
            File.WriteAllBytes(path, fixture.Payload);
            ForecastFixture.AssertRows(fixture.Rows, ForecastFile.Read(path, fixture.Map, fixture.FetchedAt).Forecast!.Hours);
            Assert.StartsWith(path, ForecastFile.Read(path, null, default).Reason, StringComparison.Ordinal);

            File.WriteAllBytes(path, new byte[ForecastReader.MaxBytes + 5]);
            Assert.Contains("longer than", ForecastFile.Read(path, null, default).Reason, StringComparison.Ordinal);
            Assert.Contains("there is no file", ForecastFile.Read(path + ".gone", null, default).Reason, StringComparison.Ordinal);
            Assert.Contains("cannot be read", ForecastFile.Read(folder.FullName, null, default).Reason, StringComparison.Ordinal);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
