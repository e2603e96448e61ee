using BackyardSentinel.Tests;

namespace BackyardSentinel.Network;

/// <summary>
/// Every fault of a line to each of those whom the service talks with lasts ten minutes of made time and ends: all that was to be
/// told is told, it is right again within two minutes, and the grower was told once each time.
/// </summary>
public sealed class BadLineTests
{
    private const LineFault Expired = LineFault.CertificateExpired, OfAnother = LineFault.CertificateOfAnother;

    [Theory]
    [InlineData(LineEnd.Broker, LineFault.Refused, "connection", "refuses the connection")]
    [InlineData(LineEnd.Broker, LineFault.BlackHole, "the message on sentinel", "the greeting had no answer within 20 s")]
    [InlineData(LineEnd.Broker, LineFault.Reset, "connection", "closed the connection without an answer")]
    [InlineData(LineEnd.Broker, Expired, "connection", "it is valid from")]
    [InlineData(LineEnd.Broker, OfAnother, "connection", "it is made out for elsewhere.example and not for localhost")]
    [InlineData(LineEnd.Webhook, LineFault.Refused, "refuses the connection")]
    [InlineData(LineEnd.Webhook, LineFault.BlackHole, "gave no answer within 20 s")]
    [InlineData(LineEnd.Webhook, LineFault.Reset, "The destination phone (http://localhost:")]
    [InlineData(LineEnd.Webhook, LineFault.CutOff, "broke the connection off")]
    [InlineData(LineEnd.Webhook, Expired, "has expired or is not valid yet")]
    [InlineData(LineEnd.Webhook, OfAnother, "a certificate for another host name")]
    [InlineData(LineEnd.Forecast, LineFault.Refused, "no connection (is this computer online?)")]
    [InlineData(LineEnd.Forecast, LineFault.BlackHole, "did not answer within 20 seconds")]
    [InlineData(LineEnd.Forecast, LineFault.Reset, "cannot be reached or broke off")]
    [InlineData(LineEnd.Forecast, LineFault.Slow, "did not answer within 20 seconds")]
    [InlineData(LineEnd.Forecast, Expired, "has expired or is not valid yet")]
    [InlineData(LineEnd.Forecast, OfAnother, "a certificate for another host name")]
    public async Task What_a_fault_of_the_line_stops_is_told_and_is_right_soon_after_its_end(
        LineEnd end,
        LineFault fault,
        params string[] told)
    {
        var cell = await RunAsync(end, fault);
        Assert.True(cell.Broken, "the fault has stopped it");
        Assert.Equal(1, cell.WellAgain);
        Assert.True(cell.Warnings.Count >= 1 && cell.Warnings.Count <= told.Length, string.Join('\n', cell.Warnings));
        Assert.Contains(told[^1], cell.Warnings[^1], StringComparison.Ordinal);
        Assert.All(cell.Warnings.SkipLast(1), words => Assert.Contains(told[0], words, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(LineEnd.Broker, LineFault.OneByteSlices)]
    [InlineData(LineEnd.Broker, LineFault.Slow)]
    [InlineData(LineEnd.Webhook, LineFault.OneByteSlices)]
    [InlineData(LineEnd.Webhook, LineFault.Slow)]
    [InlineData(LineEnd.Forecast, LineFault.OneByteSlices)]
    public async Task What_a_line_only_carries_in_bits_or_slowly_arrives_all_the_same(LineEnd end, LineFault fault)
    {
        var cell = await RunAsync(end, fault);
        Assert.False(cell.Broken);
        Assert.Empty(cell.Warnings);
        Assert.Equal((0, 0), (cell.WellAgain, cell.Repeated));
    }

    /// <summary>Chance lets some through: what is told of the others is told, and its end.</summary>
    [Theory]
    [InlineData(LineEnd.Broker, LineFault.Latency)]
    [InlineData(LineEnd.Broker, LineFault.CutOff)]
    [InlineData(LineEnd.Webhook, LineFault.Latency)]
    [InlineData(LineEnd.Forecast, LineFault.Latency)]
    [InlineData(LineEnd.Forecast, LineFault.CutOff)]
    public async Task What_a_line_carries_now_and_then_is_right_soon_after_its_end(LineEnd end, LineFault fault)
    {
        var cell = await RunAsync(end, fault);
        Assert.Equal(cell.Warnings.Count > 0, cell.WellAgain > 0);
        // What was well meanwhile is told again when it fails the same way.
        Assert.All(
            cell.Warnings.GroupBy(words => words, StringComparer.Ordinal),
            alike => Assert.InRange(alike.Count(), 1, Math.Max(1, cell.WellAgain)));
    }

    /// <summary>
    /// All of them at once by the computer's own clock, for as many minutes as BACKYARD_SENTINEL_NETWORK says; certificates and names
    /// count twice where two of them are tried.
    /// </summary>
    [Fact]
    public async Task Every_fault_for_as_long_as_is_wanted_by_the_computers_clock()
    {
        var minutes = LongRun.Asked("NETWORK") ?? 0;
        Assert.SkipUnless(minutes > 0, "Only when asked for: it takes as long as it says.");
        var cells = from end in Enum.GetValues<LineEnd>() from fault in Enum.GetValues<LineFault>() where fault > 0 select (end, fault);
        await Task.WhenAll(cells.Select(async one =>
        {
            var cell = await LineCell.RunAsync(one.end, one.fault, new CellTime(null), minutes);
            LongRun.Tell($"{one.end} {one.fault}: {cell}");
            foreach (var words in cell.Warnings) LongRun.Tell($"    {words}");
            Assert.InRange(cell.Healed, TimeSpan.Zero, LineCell.Bound);
            Assert.Equal(cell.Warnings.Count > 0, cell.WellAgain > 0);
        }));
    }

    private static async Task<LineCell> RunAsync(LineEnd end, LineFault fault)
    {
        var cell = await LineCell.RunAsync(end, fault, CellTime.Made(end), minutes: 10);
        Assert.InRange(cell.Healed, TimeSpan.Zero, LineCell.MadeBound);
        return cell;
    }
}
