using Serilog.Core;

namespace BackyardSentinel.Influx;

/// <summary>
/// What the program asks of an InfluxDB 2 server: tried against the stand-in, and against a real one where
/// SENTINEL_INFLUX="URL|ORG|BUCKET|TOKEN" names it; its bucket should be one for tests, for each run writes to it.
/// </summary>
public sealed class InfluxContractTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public static TheoryData<string> Servers => ["stand-in", "real"];

    [Theory]
    [MemberData(nameof(Servers))]
    public async Task Readings_that_were_written_are_read_back_the_same_also_when_they_were_written_twice(string which)
    {
        await using var stand = await InfluxPeer.StartAsync();
        var address = AddressOf(which, stand);
        using var weeks = new WetWeeks();
        weeks.Measure(0, 48);
        using var server = new InfluxServer(address);
        using var book = weeks.Book();
        await weeks.Forwarder(book, server, new JumpingTime(WetWeeks.Begin.AddHours(48)), Logger.None).ForwardAsync(Ct);
        book.Keep(new Storage.ForwardMark("none", 0, 0));
        await weeks.Forwarder(book, server, new JumpingTime(WetWeeks.Begin.AddHours(48)), Logger.None).ForwardAsync(Ct);

        var (season, answer) = await InfluxReadings.ReadAsync(
            server, address.Bucket, weeks.Garden.Series, "yard", WetWeeks.Begin, WetWeeks.Begin.AddHours(48), Ct);

        Assert.Equal(InfluxOutcome.Taken, answer.Outcome);
        var stored = Live.SeriesMaps.Season(weeks.Store, Live.SeriesMaps.InStore(weeks.Store, weeks.Garden.Series)).ToList();
        Assert.Equal(
            stored.OrderBy(one => one.Reading.Time).ThenBy(one => one.Series, StringComparer.Ordinal),
            season!.Readings.OrderBy(one => one.Reading.Time).ThenBy(one => one.Series, StringComparer.Ordinal));
        Assert.Empty(season.Unknown);
        var (half, _) = await InfluxReadings.ReadAsync(
            server, address.Bucket, weeks.Garden.Series, "yard", WetWeeks.Begin.AddHours(24), WetWeeks.Begin.AddHours(48), Ct);
        Assert.Equal(stored.Count / 2, half!.Readings.Count);
    }

    [Theory]
    [MemberData(nameof(Servers))]
    public async Task A_wrong_token_is_told_apart_from_a_wrong_line(string which)
    {
        await using var stand = await InfluxPeer.StartAsync();
        var address = AddressOf(which, stand);
        stand.Wrong = "no line at all";
        using var stranger = new InfluxServer(address with { Token = "another" });
        using var server = new InfluxServer(address);

        Assert.Equal(InfluxOutcome.NotAllowed, (await stranger.WriteAsync(["a b=1 1740787200000"], Ct)).Outcome);
        Assert.Equal(
            InfluxOutcome.NotAllowed,
            (
                await stranger.QueryAsync(
                    InfluxReadings.Query(address.Bucket, "yard", WetWeeks.Begin, WetWeeks.Begin.AddDays(1)), _ => { }, Ct)).Outcome);
        Assert.Equal(InfluxOutcome.Refused, (await server.WriteAsync(["this is no line at all"], Ct)).Outcome);
    }

    [Fact]
    public void A_bucket_and_a_site_stay_text_in_the_query_whatever_is_in_them()
    {
        // By the specification of Flux, "String literals": quotes and backslashes escaped, \xHH a byte, ${ an interpolation.
        var query = InfluxReadings.Query("a\") |> drop() //", "x${r.y}\\\n", WetWeeks.Begin, WetWeeks.Begin.AddDays(1));

        Assert.Contains("from(bucket: \"a\\\") |> drop() //\")", query, StringComparison.Ordinal);
        Assert.Contains("r.site == \"x\\x24{r.y}\\\\\\x0a\"", query, StringComparison.Ordinal);
        Assert.Contains("start: 2025-03-01T00:00:00.000Z, stop: 2025-03-02T00:00:00.000Z", query, StringComparison.Ordinal);
    }

    private static InfluxAddress AddressOf(string which, InfluxPeer stand)
    {
        if (which == "stand-in")
            return stand.Address;
        var parts = Environment.GetEnvironmentVariable("SENTINEL_INFLUX")?.Split('|');
        Assert.SkipUnless(parts is { Length: 4 }, "SENTINEL_INFLUX names no InfluxDB 2 server (URL|ORG|BUCKET|TOKEN).");
        return new InfluxAddress(new Uri(parts![0]), parts[1], parts[2], parts[3]);
    }
}
