using System.Collections.Concurrent;
using BackyardSentinel.Tests;
using MQTTnet;
using MQTTnet.Exceptions;
using MQTTnet.Formatter;
using MQTTnet.Protocol;

namespace BackyardSentinel.Proofs;

/// <summary>
/// SIGKILL at any moment, of the service and of its broker. What the service has acknowledged is written down on the wire, and
/// must be in the store; what the broker has taken and still has must come, once. BACKYARD_SENTINEL_KILLS=500 kills so often.
/// </summary>
public sealed class KillProofTests : IDisposable
{
    /// <summary>So often a new garden is begun: a season that grows for hours would be judged again at each start.</summary>
    private const int RoundsAGarden = 25;

    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-kill-").FullName;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task Kills_of_the_service_lose_nothing_and_count_nothing_twice()
    {
        var rounds = (LongRun.Asked("KILLS") ?? 5) * 4 / 5;
        Tally tally = new();
        for (var done = 0; done < rounds; done += RoundsAGarden)
            await KillAsync(Math.Min(RoundsAGarden, rounds - done), LongRun.Seed + done, broker: false, tally);
        LongRun.Tell($"kills of the service, seed {LongRun.Seed}: {tally}");
        Assert.Equal((0, 0), (tally.Missing, tally.Twice));
        Assert.True(tally.Acknowledged > 0);
    }

    [Fact]
    public async Task Kills_of_the_broker_too_lose_nothing_that_was_acknowledged_and_what_the_broker_lost_is_known()
    {
        var rounds = (LongRun.Asked("KILLS") ?? 5) / 5;
        Tally tally = new();
        for (var done = 0; done < rounds; done += RoundsAGarden)
            await KillAsync(Math.Min(RoundsAGarden, rounds - done), LongRun.Seed + 7 + done, broker: true, tally);
        LongRun.Tell($"kills of the service and of its broker, seed {LongRun.Seed}: {tally}");
        Assert.True(tally.Acknowledged > 0);
    }

    private async Task KillAsync(int rounds, int seed, bool broker, Tally tally)
    {
        var random = new Random(seed);
        var store = Path.Combine(_folder, $"{seed}.db");
        // It saves once a second: what it has taken since is lost with it.
        using var mosquitto = await Mosquitto.StartAsync("persistence true\nautosave_interval 1\n");
        using var tap = new Wiretap(mosquitto.Port);
        var garden = WriteGarden(store, tap.Port);
        using var recorder = new Recorder(mosquitto.Port);
        await recorder.ComeAsync();
        using (var first = ServiceProcess.Start("run", "--garden", garden))
        {
            await ConnectedAsync(first);
            if (broker)
                await mosquitto.SaveAsync();
        }

        await using var sensor = new Sensor(mosquitto.Port, random.Next());
        for (var round = 0; round < rounds; round++)
        {
            using (var service = ServiceProcess.Start("run", "--garden", garden))
            {
                // Some kills fall into the start, the others into the flow and its commits.
                if (random.Next(4) > 0)
                    await ConnectedAsync(service);
                await recorder.ComeAsync();
                await Task.Delay(random.Next(0, 900), Ct);
                if (broker && random.Next(2) == 0)
                {
                    await mosquitto.LosePowerAsync();
                    await Task.Delay(random.Next(0, 900), Ct);
                }

                service.KillAtOnce();
                recorder.Go();
                if (broker && random.Next(3) == 0)
                    await mosquitto.LosePowerAsync();
            }

            tally.Rounds++;
            Check(store, tap, $"seed {seed}, round {round}");
        }

        await sensor.StopAsync();
        using (var last = ServiceProcess.Start("run", "--garden", garden))
        {
            await ConnectedAsync(last);
            await recorder.ComeAsync();
            // A broker keeps the order, and so do acknowledgements: what waited has come when this one has.
            await sensor.SayAsync();
            await Until.TrueAsync(() => tap.Acknowledged.ContainsKey(sensor.Last), "what was sent last is acknowledged");
            await Until.TrueAsync(() => recorder.Heard.ContainsKey(sensor.Last), "the recorder has heard it too");
            Assert.Equal(0, await last.TerminateAsync(Ct));
        }

        var (timed, plain) = Check(store, tap, $"seed {seed}, at the end");
        var stored = timed.Concat(plain.Select(one => one.Key)).ToHashSet(StringComparer.Ordinal);
        var missing = sensor.Accepted.Keys.Where(payload => !stored.Contains(payload)).ToList();
        tally.Sent += sensor.Accepted.Count;
        tally.Acknowledged += tap.Acknowledged.Count;
        tally.Missing += missing.Count;
        tally.NeverCame += missing.Count(payload => !tap.Delivered.ContainsKey(payload));
        tally.MissingAtRecorder += sensor.Accepted.Keys.Count(payload => !recorder.Heard.ContainsKey(payload));
        tally.Twice += plain.Sum(one => one.Value - 1);
        if (!broker)
            Assert.True(missing.Count == 0, $"seed {seed}, not stored: {string.Join(", ", missing.Take(20).Select(Fate))}");

        string Fate(string payload) => payload
            + (tap.Acknowledged.ContainsKey(payload) ? ", acknowledged" : tap.Delivered.ContainsKey(payload) ? ", sent" : ", not sent");
    }

    /// <summary>The link that hears sensors has a session; the one for Homie has a client of its own, and may be first.</summary>
    private static Task ConnectedAsync(ServiceProcess service) =>
        Until.TrueAsync(
            () => service.Errors.Split('\n').Any(line => line.Contains("Connected to", StringComparison.Ordinal)
                && !line.Contains("-homie", StringComparison.Ordinal)),
            "it is connected");

    /// <summary>The store is sound and holds all that was acknowledged.</summary>
    private static (HashSet<string> Timed, Dictionary<string, int> Plain) Check(string path, Wiretap tap, string when)
    {
        string[] promised = [.. tap.Acknowledged.Keys];
        Assert.Empty(StoreBackup.Check(path).Faults);
        using var store = SentinelStore.Open(path);
        HashSet<string> timed = new(StringComparer.Ordinal);
        Dictionary<string, int> plain = new(StringComparer.Ordinal);
        foreach (var row in store.ReadSeason())
        {
            if (store.SeriesNames[row.Series].Contains("/temperature/", StringComparison.Ordinal))
                timed.Add(Sensor.Timed(row.TimeMs));
            else
                plain[Sensor.Plain(row.Value)] = plain.GetValueOrDefault(Sensor.Plain(row.Value)) + 1;
        }

        var lost = promised.Where(payload => !timed.Contains(payload) && !plain.ContainsKey(payload)).ToList();
        Assert.True(lost.Count == 0, $"{when}: {lost.Count} acknowledged and not stored, such as {lost.FirstOrDefault()}");
        return (timed, plain);
    }

    private static string WriteGarden(string store, int port)
    {
        var path = store + ".yaml";
        File.WriteAllText(path, $"""
            broker:
              port: {port}
            store:
              path: {store}
              commit_window: 1s
            sites:
              - id: yard
                series:
                  - quantity: temperature
                    topic: hub/t
                    path: v
                    time: at
                  - quantity: humidity
                    topic: hub/h
                  - quantity: rain
                    topic: hub/r
                plantings:
                  - id: old-peach
                    kind: peach
            """);
        return path;
    }

    private sealed class Tally
    {
        public int Rounds, Sent, Acknowledged, Missing, NeverCame, MissingAtRecorder, Twice;

        public override string ToString() =>
            string.Create(
                CultureInfo.InvariantCulture,
                $"{Rounds} rounds, {Sent:#,0} messages taken by the broker, {Acknowledged:#,0} acknowledged and stored; "
            )
            + string.Create(
                CultureInfo.InvariantCulture,
                $"lost with the broker {Missing:#,0} ({NeverCame:#,0} never sent), "
                    + $"at the second recorder {MissingAtRecorder:#,0}; twice {Twice:#,0}");
    }

    /// <summary>Says something unlike all it said before, some hundred times a second, for as long as there is a broker.</summary>
    private sealed class Sensor : IAsyncDisposable
    {
        private static readonly DateTimeOffset Begin = TimeProvider.System.GetUtcNow();
        private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();
        private readonly CancellationTokenSource _stop = new();
        private readonly MqttClientOptions _options;
        private readonly Task _speaking;
        private int _said;

        public Sensor(int port, int seed)
        {
            _options = Options(port, "sensor");
            _speaking = SpeakAsync(new Random(seed));
        }

        /// <summary>What the broker has said it took.</summary>
        public ConcurrentDictionary<string, byte> Accepted { get; } = [];

        public string Last { get; private set; } = "";

        public static MqttClientOptions Options(int port, string id) =>
            new MqttClientOptionsBuilder().WithProtocolVersion(MqttProtocolVersion.V500).WithTcpServer("127.0.0.1", port)
                .WithClientId(id).WithCleanStart(false).WithSessionExpiryInterval(86_400).Build();

        public static bool IsAway(Exception failure) =>
            failure is MqttCommunicationException or MqttProtocolViolationException
                or OperationCanceledException or InvalidOperationException;

        public static string Timed(long ms) => string.Create(CultureInfo.InvariantCulture, $"{{\"v\":8.5,\"at\":{ms}}}");

        public static string Plain(double mm) => mm.ToString("0.00000", CultureInfo.InvariantCulture);

        /// <summary>One more message, to the end.</summary>
        public async Task SayAsync()
        {
            var number = Interlocked.Increment(ref _said);
            var isTimed = number % 2 == 0;
            var payload = isTimed ? Timed(Begin.AddMilliseconds(number).ToUnixTimeMilliseconds()) : Plain(number * 0.00001);
            if (!_client.IsConnected)
                await _client.ConnectAsync(_options, CancellationToken.None);
            var answer = await _client.PublishStringAsync(isTimed ? "hub/t" : "hub/r", payload, MqttQualityOfServiceLevel.AtLeastOnce);
            if (!answer.IsSuccess)
                return;
            Accepted[payload] = 0;
            Last = payload;
        }

        public async Task StopAsync()
        {
            await _stop.CancelAsync();
            await _speaking;
        }

        public async ValueTask DisposeAsync()
        {
            await StopAsync();
            _client.Dispose();
            _stop.Dispose();
        }

        private async Task SpeakAsync(Random random)
        {
            while (!_stop.IsCancellationRequested)
            {
                try
                {
                    if (!_client.IsConnected)
                        await _client.ConnectAsync(_options, CancellationToken.None);
                    await Task.WhenAll(Enumerable.Range(0, random.Next(1, 20)).Select(_ => SayAsync()));
                    if (random.Next(16) == 0)
                        await Task.Delay(random.Next(100, 400), CancellationToken.None);
                }
                catch (Exception away) when (IsAway(away))
                {
                    await Task.Delay(20, CancellationToken.None);
                }
            }
        }
    }

    /// <summary>Another client with a session of its own, there when the service is there: what it misses the broker has lost.</summary>
    private sealed class Recorder(int port) : IDisposable
    {
        private readonly MqttClientOptions _options = Sensor.Options(port, "recorder");
        private IMqttClient? _client;

        public ConcurrentDictionary<string, byte> Heard { get; } = [];

        public async Task ComeAsync()
        {
            Go();
            var client = _client = new MqttClientFactory().CreateMqttClient();
            client.ApplicationMessageReceivedAsync += args =>
            {
                Heard[Encoding.UTF8.GetString(args.ApplicationMessage.Payload)] = 0;
                return Task.CompletedTask;
            };
            client.DisconnectedAsync += _ => ConnectAsync(client);
            await ConnectAsync(client);
        }

        public void Go()
        {
            var client = _client;
            _client = null;
            client?.Dispose();
        }

        public void Dispose() => Go();

        private async Task ConnectAsync(IMqttClient client)
        {
            while (client == _client)
            {
                try
                {
                    await client.ConnectAsync(_options, CancellationToken.None);
                    await client.SubscribeAsync("hub/#", MqttQualityOfServiceLevel.AtLeastOnce);
                    return;
                }
                catch (Exception away) when (Sensor.IsAway(away))
                {
                    await Task.Delay(20, CancellationToken.None);
                }
            }
        }
    }
}
