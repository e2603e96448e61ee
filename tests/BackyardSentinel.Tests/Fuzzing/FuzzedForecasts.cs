using BackyardSentinel.Forecasts;

namespace BackyardSentinel.Tests.Fuzzing;

/// <summary>Forecasts, read by the map of a fixture or, behind these, as our own form.</summary>
internal sealed class FuzzedForecasts : FuzzedReader
{
    private static readonly List<ForecastFixture> Fixtures = [.. ForecastFixture.Names.Select(ForecastFixture.Load)];

    private readonly List<(ForecastMap? Map, DateTimeOffset FetchedAt)> _maps =
        [.. Fixtures.Select(fixture => ((ForecastMap?)fixture.Map, fixture.FetchedAt)), (null, Fixtures[0].FetchedAt)];

    /// <inheritdoc/>
    public override IEnumerable<byte[]> Seeds =>
    [
        .. Fixtures.Select((fixture, number) => Input(number, 0, fixture.Payload)),
        .. Fixtures
            .Select(fixture => ForecastReader.Read(fixture.Payload, fixture.Map, fixture.FetchedAt).Forecast)
            .OfType<Weather.Forecast>()
            .Select(forecast => Input(Fixtures.Count, 0, ForecastJson.Write(forecast)))
            .Where(input => input.Length < 3000),
    ];

    /// <inheritdoc/>
    public override IEnumerable<byte[]> Words => ForecastFuzzTests.Words.Select(Encoding.UTF8.GetBytes);

    /// <inheritdoc/>
    protected override void Read(byte which, byte how, byte[] bytes)
    {
        var (map, fetchedAt) = _maps[which % _maps.Count];
        var result = ForecastReader.Read(bytes, map, fetchedAt, (how & 1) > 0);
        ForecastFuzzTests.Check(result, "");
        Assert.All(result.Remarks, remark => Assert.DoesNotContain(remark, char.IsControl));
        if (result.Forecast is { } forecast)
            Assert.True(ForecastJson.Read(ForecastJson.Write(forecast)).Forecast is not null, "what is written is not read");
    }
}
