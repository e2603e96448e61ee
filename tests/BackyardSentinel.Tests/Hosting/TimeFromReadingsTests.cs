using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using Serilog.Core;

namespace BackyardSentinel.Hosting;

/// <summary>Where the readings are the clock, one with a senseless time neither stops the season nor lets centuries pass.</summary>
public sealed class TimeFromReadingsTests : IDisposable
{
    private static readonly DateTimeOffset Dawn = new(2027, 3, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly string _folder = Directory.CreateTempSubdirectory("time-from-readings").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Theory]
    [InlineData(0, "9999-12-31T23:59:59Z")]
    [InlineData(0, "2250-01-01T00:00:00Z")]
    [InlineData(30, "9999-12-31T23:59:59Z")]
    [InlineData(30, "2250-01-01T00:00:00Z")]
    [InlineData(30, "2106-02-07T06:28:15Z")]
    public async Task A_reading_of_a_far_year_lets_no_centuries_pass_and_the_season_goes_on(int after, string farTime)
    {
        using var store = SentinelStore.Open(Path.Combine(_folder, "s.db"));
        var loop = new SentinelLoop(
            store,
            new PayloadMap(Station.OneMessage, timesAreTheClock: true),
            [Station.Yard],
            _ => { },
            new LoopOptions { ClockFromReadings = true },
            TimeProvider.System,
            Logger.None);
        for (var i = 0; i < 60; i++)
        {
            if (i == after)
                await loop.OfferAsync(Message(farTime), TestContext.Current.CancellationToken);
            await loop.OfferAsync(
                Message(Dawn.AddMinutes(10 * i).ToString("yyyy-MM-ddTHH:mm:ss'Z'", CultureInfo.InvariantCulture)),
                TestContext.Current.CancellationToken);
        }

        loop.Complete();
        await loop.RunAsync(CancellationToken.None).WaitAsync(TimeSpan.FromMinutes(1), TestContext.Current.CancellationToken);
        var watch = loop.Watches["yard"];
        Assert.InRange(watch.IntervalsJudged, 50, 60);
        // The last interval waits for late readings still.
        Assert.Equal(Dawn.AddMinutes(580), watch.LastInterval!.Value.End);
    }

    private static ArrivedMessage Message(string at) => new("station", Encoding.UTF8.GetBytes($$"""{"at":"{{at}}","Temperature":8.5,"Humidity":96,"Rain":0.2}"""));
}
