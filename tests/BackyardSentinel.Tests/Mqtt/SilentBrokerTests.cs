namespace BackyardSentinel.Mqtt;

/// <summary>Brokers that take a connection and then say nothing, or that close it without a word.</summary>
public sealed class SilentBrokerTests
{
    private const int Connack = 2, Puback = 4, Suback = 9;

    [Theory]
    [InlineData(Connack, false, "the greeting had no answer within 20 s")]
    [InlineData(Suback, false, "the subscription to yard/t had no answer within 20 s")]
    [InlineData(Puback, false, "the message on sentinel/state had no answer within 20 s")]
    [InlineData(Connack, true, "the greeting had no answer within 20 s")]
    [InlineData(Suback, true, "the subscription to yard/t had no answer within 20 s")]
    [InlineData(Puback, true, "the message on sentinel/state had no answer within 20 s")]
    public async Task A_broker_that_is_silent_at_one_step_is_told_and_served_again_within_two_minutes_of_its_healing(
        int packet,
        bool half,
        string step)
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using var gag = new Gag(broker.Port, packet) { Half = half };
        await using var running = new Running(gag.Port);

        await Until.TrueAsync(() => gag.Swallowed == 1, "the first answer is kept back");
        running.Clock.Advance(BrokerPatience.StepLimit);
        await running.SaysAsync(step);
        Assert.False(running.Link.IsUp);
        if (packet != Puback) Assert.DoesNotContain(running.Log.Lines, line => line.Contains("Connected", StringComparison.Ordinal));

        gag.Heal();
        Assert.InRange(await running.NextConnectionAsync(gag), TimeSpan.Zero, TimeSpan.FromMinutes(2));
        // On a busy computer that connection may have had its time while the clock was moved; then it is tried again.
        await Until.TrueAsync(
            () =>
            {
                if (running.Clock.IsPaused)
                    running.Clock.Advance(Running.Tick);
                return running.Link.IsUp;
            },
            "the link is up");
        await running.SaysAsync("Connected to the broker");
    }

    [Fact]
    public async Task Even_after_many_tries_the_next_comes_within_two_minutes_and_the_same_reason_is_told_once()
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using var gag = new Gag(broker.Port, Connack);
        await using var running = new Running(gag.Port);
        for (var tries = 1; tries <= 12; tries++)
        {
            await Until.TrueAsync(() => gag.Swallowed == tries, $"try {tries}");
            running.Clock.Advance(BrokerPatience.StepLimit);
            Assert.InRange(
                BrokerPatience.StepLimit + await running.NextConnectionAsync(gag),
                TimeSpan.Zero,
                TimeSpan.FromMinutes(2) + Running.Tick);
        }

        Assert.Single(running.Log.Lines, line => line.Contains("says nothing", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_message_that_is_not_acknowledged_ends_the_connection_and_goes_out_over_the_next()
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/yard/#");
        using var gag = new Gag(broker.Port, 0);
        await using var running = new Running(gag.Port);
        await Until.TrueAsync(() => running.Link.IsUp, "the link is up");

        gag.Set(Puback);
        running.Link.Publish(new OutgoingMessage("sentinel/yard/weather", "{}"u8.ToArray(), 60));
        await Until.TrueAsync(() => gag.Swallowed == 1, "the acknowledgement is kept back");
        running.Clock.Advance(BrokerPatience.StepLimit);
        await running.SaysAsync("the message on sentinel/yard/weather had no answer");
        gag.Heal();
        await running.NextConnectionAsync(gag);
        await Until.TrueAsync(() => peer.Heard.Count(one => one.Topic == "sentinel/yard/weather") >= 2, "the message again");
    }

    [Fact]
    public async Task What_is_sent_as_soon_as_the_connection_is_told_arrives()
    {
        using var broker = await Mosquitto.StartAsync();
        using var peer = await Peer.ConnectAsync(broker.Port);
        await using var running = new Running(broker.Port);
        await running.SaysAsync("Connected to the broker");
        await peer.PublishAsync("yard/t", "21.5");
        await Until.TrueAsync(() => running.Arrived == "21.5", "the first message");
    }

    [Fact]
    public async Task A_client_id_in_use_twice_is_named_where_the_broker_only_closes()
    {
        // mosquitto 2.0.11 closes the older connection without a word; seen on the wire.
        using var broker = await Mosquitto.StartAsync();
        await using var one = new Running(broker.Port, TimeProvider.System);
        await using var two = new Running(broker.Port, TimeProvider.System);
        await Until.TrueAsync(
            () =>
                one
                    .Log.Lines.Concat(two.Log.Lines)
                    .Any(line => line.Contains("another client then uses the client id link-under-test too", StringComparison.Ordinal)),
            "the cause is named");
        // Whoever has named it keeps away for a minute or more.
        Assert.Contains(
            one.Log.Lines.Concat(two.Log.Lines),
            line => line.Contains("client id link-under-test too", StringComparison.Ordinal) && Pause(line) is >= 60 and <= 90);
    }

    [Fact]
    public async Task A_client_id_in_use_twice_is_named_where_the_broker_says_so()
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        await using var one = new Running(broker.Port, TimeProvider.System);
        await Until.TrueAsync(() => one.Link.IsUp, "the first is up");
        await using var two = new Running(broker.Port, TimeProvider.System);
        await one.SaysAsync("Another client has connected as link-under-test");
    }

    private static double Pause(string line) =>
        double.Parse(
            line[(line.IndexOf("next in ", StringComparison.Ordinal) + 8)..line.LastIndexOf(" s.", StringComparison.Ordinal)],
            System.Globalization.CultureInfo.InvariantCulture);

    private sealed class Running : IAsyncDisposable
    {
        public static readonly TimeSpan Tick = TimeSpan.FromSeconds(5);
        private readonly CancellationTokenSource _stop = new();
        private readonly Task _task;

        public Running(int port, TimeProvider? time = null)
        {
            Link = new MqttLink(
                new BrokerOptions { Port = port, ClientId = "link-under-test", WillDelaySeconds = 0 }, ["yard/t"],
                (message, _) =>
                {
                    Arrived = Encoding.UTF8.GetString(message.Payload.Span);
                    return ValueTask.CompletedTask;
                },
                time ?? Clock, Log.Logger);
            _task = Link.RunAsync(_stop.Token);
        }

        public PauseTime Clock { get; } = new(PauseTime.OfBrokers);

        public LogLines Log { get; } = new();

        public MqttLink Link { get; }

        public string? Arrived { get; private set; }

        public Task SaysAsync(string words) =>
            Until.TrueAsync(() => Log.Lines.Any(line => line.Contains(words, StringComparison.Ordinal)), words);

        /// <summary>Lets time pass, and only while the link waits, until it connects again.</summary>
        public async Task<TimeSpan> NextConnectionAsync(Gag gag)
        {
            var (before, passed) = (gag.Connections, TimeSpan.Zero);
            await Until.TrueAsync(
                () =>
                {
                    if (gag.Connections > before) return true;
                    if (!Clock.IsPaused) return false;
                    Clock.Advance(Tick);
                    passed += Tick;
                    return false;
                },
                "the next connection");
            return passed;
        }

        public async ValueTask DisposeAsync()
        {
            await _stop.CancelAsync();
            while (!_task.IsCompleted)
            {
                Clock.Advance(Tick);
                await Task.WhenAny(_task, Task.Delay(20));
            }

            await _task;
            _stop.Dispose();
        }
    }
}
