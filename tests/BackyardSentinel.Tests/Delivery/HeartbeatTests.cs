using BackyardSentinel.Guards;
using Serilog;
using Serilog.Core;
using Serilog.Events;

namespace BackyardSentinel.Delivery;

public sealed class HeartbeatTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task It_beats_at_its_pace_while_all_is_well_and_says_trouble_and_its_end_once()
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
        await Some.Until(() => answers.Answers == 1, Ct);
        Assert.Equal(("GET", "/t0psecret"), (peer.Requests.Last().Method, peer.Requests.Last().Path));
        Assert.StartsWith("backyard-sentinel/", peer.Requests.Last().Headers["User-Agent"], StringComparison.Ordinal);

        time.Advance(TimeSpan.FromMinutes(29));
        Assert.Single(peer.Requests);
        peer.AnswerWith(500);
        for (var beats = 2; beats <= 4; beats++)
        {
            time.Advance(TimeSpan.FromMinutes(30));
            await Some.Until(() => answers.Answers == beats, Ct);
            if (beats == 3)
                peer.AnswerWith(404);
        }

        peer.AnswerWith(200);
        for (var beats = 5; beats <= 6; beats++)
        {
            time.Advance(TimeSpan.FromMinutes(30));
            await Some.Until(() => answers.Answers == beats, Ct);
        }

        well = false;
        var before = peer.Requests.Count;
        time.Advance(TimeSpan.FromMinutes(90));
        await Some.Until(
            () =>
            {
                time.Advance(TimeSpan.FromMinutes(10));
                return said.All.Count == 4;
            },
            Ct);
        Assert.Equal(before, peer.Requests.Count);

        await stop.CancelAsync();
        await running;
        Assert.Equal(
            [
                "The heartbeat did not arrive at \"localhost\": \"it answered 500\". It goes on trying.",
                "The heartbeat did not arrive at \"localhost\": \"it answered 404\". It goes on trying.",
                "The heartbeat arrives at \"localhost\" again.",
                "No heartbeat is sent while readings are not taken and judged; whoever watches for it will say so.",
            ],
            said.All);
    }

    // Beats come half an hour apart here; being ill is told after five minutes, which is assumed.
    [Fact]
    public async Task It_looks_each_minute_beats_when_its_time_has_come_and_tells_of_five_ill_minutes()
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Ct);
        var time = new CountingTime();
        var looks = 0;
        List<int> beats = [], told = [];
        var said = new Sentences { OnSaid = () => told.Add(looks - 1) };
        using var peer = new Answering(() =>
        {
            beats.Add(looks - 1);
            return looks < 100 ? 299 : 300;
        });
        using var http = new HttpMessageInvoker(peer);
        await using var log = new LoggerConfiguration().WriteTo.Sink(said).CreateLogger();
        var heartbeat = new Heartbeat(
            new Uri("https://watch.example/a"),
            TimeSpan.FromMinutes(30),
            http,
            () =>
            {
                time.Stamps = 0;
                return Interlocked.Increment(ref looks) is <= 65 or > 80;
            },
            time,
            log);
        var running = heartbeat.RunAsync(stop.Token);
        for (var minute = 0; minute < 130; minute++)
        {
            // What it asks the clock for at each look, before time goes on.
            var stamps = minute is 30 or 60 or 65 or 90 or 120 ? 2 : minute is > 70 and < 80 ? 0 : 1;
            await Some.Until(() => Volatile.Read(ref looks) == minute + 1 && time.Stamps >= stamps, Ct);
            time.Advance(TimeSpan.FromMinutes(1));
        }

        await stop.CancelAsync();
        await running;
        Assert.Equal([0, 30, 60, 90, 120], beats);
        Assert.Equal([70, 120], told);
        Assert.Equal("The heartbeat did not arrive at \"watch.example\": \"it answered 300\". It goes on trying.", said.All[1]);
    }

    /// <summary>A router without a line to the outside may answer each name with itself; a connection may be reset as it is made.</summary>
    [Fact]
    public async Task What_keeps_a_beat_from_arriving_is_told_and_ends_nothing()
    {
        Queue<Exception> failures = new([
            new HttpRequestException("refused", new PrivateAddressException("closed")),
            new System.Net.Sockets.SocketException(104),
            new HttpRequestException("no route"),
        ]);
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Ct);
        var time = new FakeTimeProvider(Some.Morning);
        var said = new Sentences();
        using var peer = new Answering(() => failures.TryDequeue(out var failure) ? throw failure : 200);
        using var http = new HttpMessageInvoker(peer);
        await using var log = new LoggerConfiguration().WriteTo.Sink(said).CreateLogger();
        var heartbeat = new Heartbeat(new Uri("https://watch.example/a"), TimeSpan.FromMinutes(5), http, () => true, time, log);
        var running = heartbeat.RunAsync(stop.Token);
        for (var left = 2; left >= 0; left--)
        {
            await Some.Until(() => failures.Count == left, Ct);
            time.Advance(TimeSpan.FromMinutes(5));
        }

        await Some.Until(() => said.All.Count == 3, Ct);
        await stop.CancelAsync();
        await running;
        Assert.Equal(
            [
                "The heartbeat did not arrive at \"watch.example\": \"its address is of your own network, which is not asked; "
                    + "give one elsewhere\". It goes on trying.",
                "The heartbeat did not arrive at \"watch.example\": \"it cannot be reached\". It goes on trying.",
                "The heartbeat arrives at \"watch.example\" again.",
            ],
            said.All);
    }

    [Theory]
    [InlineData("https://watch.example/a", 5, true)]
    [InlineData("http://watch.example/a", 24 * 60, true)]
    [InlineData("https://watch.example/a", 4.99, false)]
    [InlineData("https://watch.example/a", (24 * 60) + 0.01, false)]
    [InlineData("ftp://watch.example/a", 30, false)]
    [InlineData("/a", 30, false)]
    public void It_beats_over_the_web_each_five_minutes_to_once_a_day(string url, double minutes, bool taken)
    {
        using var http = new HttpMessageInvoker(new Answering(() => 200));
        Heartbeat Made() => new(
            new Uri(url, UriKind.RelativeOrAbsolute), TimeSpan.FromMinutes(minutes), http, () => true, TimeProvider.System, Logger.None);

        Assert.Equal(taken, Record.Exception(Made) is null);
    }

    private sealed class CountingTime() : FakeTimeProvider(Some.Morning)
    {
        private int _stamps;

        public int Stamps
        {
            get => Volatile.Read(ref _stamps);
            set => Volatile.Write(ref _stamps, value);
        }

        public override long GetTimestamp()
        {
            var stamp = base.GetTimestamp();
            Interlocked.Increment(ref _stamps);
            return stamp;
        }
    }

    private sealed class Answering(Func<int> status) : HttpMessageHandler
    {
        protected override Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken) =>
            Task.FromResult(new HttpResponseMessage((System.Net.HttpStatusCode)status()));
    }

    private sealed class Sentences : ILogEventSink
    {
        public List<string> All { get; } = [];

        public Action? OnSaid { get; init; }

        public void Emit(LogEvent logEvent)
        {
            All.Add(logEvent.RenderMessage(System.Globalization.CultureInfo.InvariantCulture));
            OnSaid?.Invoke();
        }
    }
}
