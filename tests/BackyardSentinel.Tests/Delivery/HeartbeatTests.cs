using BackyardSentinel.Guards;
using Serilog;
using Serilog.Core;
using Serilog.Events;

namespace BackyardSentinel.Delivery;

public sealed class HeartbeatTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task It_beats_at_its_pace_while_all_is_well_and_says_trouble_once()
    {
        await using var peer = await HttpPeer.StartAsync(ct: Ct);
        using var answers = new CountingHandler(PublicAddress.Handler(allowPrivate: true));
        using var http = new HttpMessageInvoker(answers);
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Ct);
        var time = new FakeTimeProvider(Some.Morning);
        var said = new Sentences();
        var well = true;
        await using var log = new LoggerConfiguration().WriteTo.Sink(said).CreateLogger();
        var heartbeat = new Heartbeat(new Uri(peer.Url, "t0psecret"), TimeSpan.FromMinutes(30), http, () => well, time, log);
        var running = heartbeat.RunAsync(stop.Token);
        await Some.Until(() => heartbeat.LastBeatAt == Some.Morning, Ct);
        Assert.Equal(("GET", "/t0psecret"), (peer.Requests.Last().Method, peer.Requests.Last().Path));

        time.Advance(TimeSpan.FromMinutes(29));
        Assert.Single(peer.Requests);
        peer.AnswerWith(500);
        for (var beats = 2; beats <= 4; beats++)
        {
            time.Advance(TimeSpan.FromMinutes(30));
            await Some.Until(() => answers.Answers == beats, Ct);
        }

        peer.AnswerWith(200);
        time.Advance(TimeSpan.FromMinutes(30));
        await Some.Until(() => heartbeat.LastBeatAt > Some.Morning, Ct);
        well = false;
        var before = peer.Requests.Count;
        time.Advance(TimeSpan.FromMinutes(90));
        await Some.Until(
            () =>
            {
                time.Advance(TimeSpan.FromMinutes(10));
                return said.All.Count == 2;
            },
            Ct);
        Assert.Equal(before, peer.Requests.Count);

        await stop.CancelAsync();
        await running;
        Assert.Equal(
            [
                "The heartbeat did not arrive at \"localhost\": \"it answered 500\". It goes on trying.",
                "No heartbeat is sent while readings are not taken and judged; whoever watches for it will say so.",
            ],
            said.All);
    }

    private sealed class Sentences : ILogEventSink
    {
        public List<string> All { get; } = [];

        public void Emit(LogEvent logEvent) => All.Add(logEvent.RenderMessage(System.Globalization.CultureInfo.InvariantCulture));
    }
}
