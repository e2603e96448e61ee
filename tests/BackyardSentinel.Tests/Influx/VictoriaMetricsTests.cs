using Serilog.Core;

namespace BackyardSentinel.Influx;

/// <summary>Real writes to a server that is not ours, read back by its own export and compared.</summary>
public sealed class VictoriaMetricsTests
{
    [Fact]
    public async Task What_was_written_is_read_back_and_is_the_same()
    {
        using var weeks = new WetWeeks();
        using var victoria = await VictoriaMetrics.StartAsync();
        weeks.Measure(0, 72);
        using var book = weeks.Book();
        using var server = new InfluxServer(new InfluxAddress(victoria.Url, "garden", "weather", "any"));
        await weeks.Forwarder(
            book, server, new JumpingTime(WetWeeks.Begin.AddHours(72)), Logger.None).ForwardAsync(TestContext.Current.CancellationToken);
        await using var peer = await InfluxPeer.StartAsync();
        using var other = new InfluxServer(peer.Address);
        book.Keep(new Storage.ForwardMark("none", 0, 0));
        await weeks.Forwarder(
            book, other, new JumpingTime(WetWeeks.Begin.AddHours(72)), Logger.None).ForwardAsync(TestContext.Current.CancellationToken);

        var kept = (await victoria.ExportAsync("sentinel_"))
            .ToLookup(
                one =>
                {
                    var tags = one.Tags
                        .Where(tag => tag.Key is not ("__name__" or "db"))
                        .OrderBy(tag => tag.Key, StringComparer.Ordinal)
                        .Select(tag => $"{tag.Key}={tag.Value}");
                    return $"{one.Metric}|{string.Join('|', tags)}|{one.TimeMs}";
                },
                one => one.Value);

        var numbers = 0;
        foreach (var (point, fields) in peer.Points)
        {
            var parts = point.Split('|');
            foreach (var (field, number) in fields.Where(pair => pair.Value is double or long))
            {
                var expected = Convert.ToDouble(number, System.Globalization.CultureInfo.InvariantCulture);
                var there = kept[string.Join('|', [$"{parts[0]}_{field}", .. parts[1..]])].ToList();
                // A window is written when it opens and again when it closes; this server keeps both, unlike InfluxDB.
                Assert.InRange(there.Count, 1, parts[0] == InfluxLines.Windows ? 2 : 1);
                Assert.Contains(there, value => Math.Abs(value - expected) <= Math.Abs(expected) * 1e-12);
                numbers++;
            }
        }

        Assert.True(numbers > 6000, $"{numbers} numbers");
        var readings = weeks.Store.ReadSeason().ToList();
        Assert.Equal(readings.Count, kept.Count(one => one.Key.StartsWith("sentinel_reading_value|", StringComparison.Ordinal)));
        Assert.Contains(Quantity.Rain.Word(), string.Join(' ', kept.Select(one => one.Key)), StringComparison.Ordinal);
    }
}
