using System.Collections.Concurrent;
using BackyardSentinel.Commands;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using Microsoft.Data.Sqlite;
using Serilog.Core;

namespace BackyardSentinel.Simulation;

/// <summary>
/// A season of five sites with four sensors each, each speaking every ten minutes, in which everything goes wrong by chance that the
/// seed decides: messages that never are sent, come twice, late or in another order, or are nonsense; kills, stops, lost links, a broker
/// that forgets or goes back to what it knew; a computer's clock that is wrong. What was sent is written down, and the store is held to
/// it. The same seed gives the same season to the last byte.
/// </summary>
internal sealed class SimulatedSeason : IAsyncDisposable
{
    private static readonly TimeSpan Step = TimeSpan.FromMinutes(10);

    /// <summary>
    /// After so long without temperature or humidity nothing is known of a site: 90 minutes that a value holds, as many that are bridged,
    /// and some.
    /// </summary>
    private static readonly TimeSpan LongestKnown = TimeSpan.FromHours(5);

    private readonly Random _random;
    private readonly SimulatedWeather _weather;
    private readonly SimulatedTime _time;
    private readonly SimulatedBroker _broker = new();
    private readonly GardenFile _garden;
    private readonly DateTimeOffset _begin;
    private readonly List<SimulatedDevice> _devices = [];
    private readonly List<SimulatedMessage> _sent = [];
    private readonly List<(DateTimeOffset At, SimulatedMessage Message)> _late = [];
    private readonly ConcurrentDictionary<string, string> _published = [];
    private readonly Dictionary<string, DateTimeOffset> _lastHeard = [];
    private readonly Dictionary<string, int> _faults = [];
    private readonly HashSet<(SimulatedDevice, long)> _wrongTimes = [];
    private SimulatedService? _service;
    private DateTimeOffset _offUntil, _downUntil, _clockUntil;
    private bool _acksAreLost;
    private long _levels, _unknown;

    public SimulatedSeason(string folder, int seed)
    {
        (_random, _weather) = (new Random(seed), new SimulatedWeather(seed));
        _begin = new DateTimeOffset(2027 + (seed % 3), 10, 15, 0, 0, 0, TimeSpan.Zero);
        _time = new SimulatedTime(_begin);
        var path = Path.Combine(folder, $"season-{seed}.yaml");
        string[] sites = ["north", "south", "east", "west", "hill"];
        foreach (var site in sites)
        {
            _devices.Add(new SimulatedDevice(site, Quantity.Temperature, true));
            _devices.Add(new SimulatedDevice(site, Quantity.Humidity, true));
            _devices.Add(new SimulatedDevice(site, Quantity.Rain, false));
            _devices.Add(new SimulatedDevice(site, Quantity.LeafWetness, site is "north" or "hill"));
        }

        File.WriteAllText(path, $"""
            broker:
              port: 1
            store:
              path: {Path.Combine(folder, $"season-{seed}.db")}
            sites:
            {string.Concat(sites.Select(site => $"""
              - id: {site}
                series:
            {string.Concat(_devices.Where(device => device.Site == site).Select(device => device.Lines))}
                plantings:
                  - id: {site}-peach
                    kind: peach
                    stage: always

            """))}
            """);
        _garden = GardenProblemException.Read(path);
    }

    /// <summary>What was seen, in words.</summary>
    public string Figures { get; private set; } = "";

    /// <summary>Plays it, and gives all that is stored and published at its end, line by line.</summary>
    public async Task<List<string>> PlayAsync(int days)
    {
        var end = _begin.AddDays(days);
        Start();
        while (_time.Truth < end)
        {
            // The last hours are quiet, so that everything that waits comes.
            if (_time.Truth < end.AddHours(-12))
                await GoWrongAsync();
            await PassAsync();
        }

        await CheckAsync();
        return Record();
    }

    public async ValueTask DisposeAsync()
    {
        if (_service is { } service)
            await service.DisposeAsync();
    }

    private void Start()
    {
        _service = new SimulatedService(_garden, _time, _begin.AddDays(-1), Logger.None, _published);
        Connect(isNewProcess: true);
    }

    private void Connect(bool isNewProcess)
    {
        _acksAreLost = false;
        _broker.Connect(isNewProcess);
        _service!.IsUp = true;
    }

    private void Disconnect()
    {
        _broker.Disconnect();
        if (_service is { } service)
            service.IsUp = false;
    }

    private async Task GoWrongAsync()
    {
        var now = _time.Truth;
        if (_service is null && now >= _offUntil)
            Start();
        if (_service is { IsUp: false } && now >= _downUntil)
            Connect(isNewProcess: false);
        if (_time.Wrong != TimeSpan.Zero && now >= _clockUntil)
            _time.Wrong = TimeSpan.Zero;
        if (Happens("saved", 0.05))
            _broker.Save();
        if (_service is { } service)
        {
            if (Happens("killed", 0.003))
            {
                await service.KillAsync();
                Off();
            }
            else if (Happens("stopped", 0.001))
            {
                await service.StopAsync();
                Off();
            }
            else if (_service.IsUp && Happens("link lost", 0.004))
            {
                Disconnect();
                _downUntil = now + For(6);
            }
            else if (_service.IsUp && Happens("acknowledgements lost", 0.002))
            {
                _acksAreLost = true;
                _downUntil = now + For(1);
            }
            else if (_service.IsUp && Happens("broker forgot", 0.0005))
            {
                Disconnect();
                _broker.Forget();
                _downUntil = now + For(2);
            }
            else if (_service.IsUp && Happens("broker lost power", 0.0005))
            {
                Disconnect();
                _broker.LosePower();
                _downUntil = now + For(2);
            }
        }

        if (_time.Wrong == TimeSpan.Zero && Happens("clock wrong", 0.0003))
        {
            _time.Wrong = _random.Next(4) switch
            {
                0 => TimeSpan.FromDays(_random.Next(2, 400)),
                1 => -TimeSpan.FromDays(_random.Next(2, 400)),
                2 => TimeSpan.FromHours(_random.Next(2, 20)),
                _ => -TimeSpan.FromHours(_random.Next(2, 20)),
            };
            _clockUntil = now + For(12);
        }

        void Off()
        {
            Disconnect();
            _service = null;
            _offUntil = now + (_random.Next(3) == 0 ? For(30) : For(1));
        }
    }

    private TimeSpan For(int hours) => Step * _random.Next(1, (6 * hours) + 1);

    private bool Happens(string what, double chance)
    {
        if (_random.NextDouble() >= chance)
            return false;
        _faults[what] = _faults.GetValueOrDefault(what) + 1;
        return true;
    }

    /// <summary>Ten minutes, in which each sensor speaks.</summary>
    private async Task PassAsync()
    {
        Pass(Step - TimeSpan.FromSeconds(4));
        foreach (var message in Speak())
            _broker.Take(message);
        if (_service is not { } service)
        {
            Pass(TimeSpan.FromSeconds(4));
            return;
        }

        DeliverAll();
        Pass(TimeSpan.FromSeconds(4));
        DeliverAll();
        Look(service);
        if (!_acksAreLost)
            return;
        Disconnect();
        if (_random.Next(2) == 0)
            return;
        // It was killed between making them safe and saying so.
        await service.KillAsync();
        (_service, _offUntil) = (null, _time.Truth);
    }

    /// <summary>Time passes, and the service has seen that it has before anything else happens.</summary>
    private void Pass(TimeSpan later)
    {
        _time.Advance(later);
        _service?.Nudge();
        _service?.Settle();
    }

    private void DeliverAll()
    {
        var service = _service!;
        for (var any = true; any && service.HasTakenAll;)
        {
            any = false;
            foreach (var (message, arrived) in _broker.Deliver(20, _ => service.Handled()))
            {
                any = true;
                message.CameWithClockWrong |= _time.Wrong != TimeSpan.Zero;
                if (!message.MayBeRefused && message.Device.Quantity is Quantity.Temperature or Quantity.Humidity)
                    _lastHeard[message.Device.Site] = _time.Truth;
                service.Offer(arrived);
            }

            service.Settle();
            _broker.Hear(_acksAreLost);
            any &= !_acksAreLost;
        }
    }

    private List<SimulatedMessage> Speak()
    {
        var now = _time.Truth;
        List<SimulatedMessage> says = [];
        for (var i = 0; i < _devices.Count; i++)
        {
            var device = _devices[i];
            if (Happens("never sent", 0.01))
                continue;
            // No two readings of one sensor have one time.
            var ms = now.ToUnixTimeMilliseconds() + (_sent.Count % 1000);
            var value = _weather.At(device.Quantity, now, i / 4);
            if (Happens("nonsense", 0.002))
            {
                Send(device, _random.Next(2) == 0 ? "{\"v\":\"21,5\"}" : "{\"v\":nan", null, null, true);
                continue;
            }

            if (Happens("impossible value", 0.002))
            {
                Send(device, device.Says(9999, ms), device.TellsTime ? ms : null, 9999, true);
                continue;
            }

            if (device.TellsTime && Happens("sensor's clock wrong", 0.002))
            {
                ms += (long)TimeSpan.FromHours(_random.Next(2) == 0 ? 3 : -40).TotalMilliseconds + 1000;
                while (!_wrongTimes.Add((device, ms)))
                    ms++;
                Send(device, device.Says(value, ms), ms, value, true);
                continue;
            }

            var message = Send(device, device.Says(value, ms), device.TellsTime ? ms : null, value, false);
            if (device.TellsTime && Happens("sent twice", 0.01))
                says.Add(message.Copy());
            if (device.TellsTime && Happens("sent late", 0.0003))
            {
                says.Remove(message);
                _late.Add((now + For(8), message));
            }
        }

        foreach (var (_, message) in _late.FindAll(one => one.At <= now))
            says.Add(message);
        _late.RemoveAll(one => one.At <= now);
        // In any order.
        for (var i = says.Count - 1; i > 0; i--)
        {
            var j = _random.Next(i + 1);
            (says[i], says[j]) = (says[j], says[i]);
        }

        return says;

        SimulatedMessage Send(SimulatedDevice device, string payload, long? ms, double? value, bool mayBeRefused)
        {
            var message = new SimulatedMessage(device, payload, ms, value, mayBeRefused);
            _sent.Add(message);
            says.Add(message);
            return message;
        }
    }

    /// <summary>N4: what is published is what stands. N6: nothing heard is nothing known.</summary>
    private void Look(SimulatedService service)
    {
        if (!service.HasTakenAll || _time.Wrong != TimeSpan.Zero)
            return;
        foreach (var (site, watch) in service.Loop.Watches)
        {
            var level = watch.Risks[0].Level;
            _levels++;
            _unknown += level == Level.Unknown ? 1 : 0;
            var heard = _lastHeard.GetValueOrDefault(site, _begin);
            if (_time.Truth - heard > LongestKnown && service.IsUp)
                Assert.True(level == Level.Unknown, $"{_time.Truth:u}: {site} has heard nothing since {heard:u} and is {level}");
            if (service.IsUp && _published.TryGetValue($"sentinel/{site}/{site}-peach/risk", out var risk))
                Assert.True(
                    risk.Contains($"\"level\":\"{level.ToString().ToLowerInvariant()}\"", StringComparison.Ordinal),
                    $"{_time.Truth:u}: {site} stands at {level}, and published is {risk}");
        }
    }

    private async Task CheckAsync()
    {
        if (_service is null)
            Start();
        _time.Wrong = TimeSpan.Zero;
        if (!_service!.IsUp)
            Connect(isNewProcess: false);
        for (var i = 0; i < 18; i++)
            await PassAsync();
        Assert.True(_broker.IsEmpty, "something waits at the broker still");
        Assert.Empty(StoreBackup.Check(_garden.Store.Path).Faults);
        CheckReadings();
        CheckJudgement();
        await CheckRestartAsync();
        var lost = _sent.Count(message => message is { IsLost: true, IsAcknowledged: false });
        var faults = string.Join(
            ", ",
            _faults.OrderBy(fault => fault.Key, StringComparer.Ordinal).Select(fault => $"{fault.Key} {fault.Value}"));
        Figures = string.Create(
            CultureInfo.InvariantCulture,
            $"{_sent.Count:#,0} messages, {lost:#,0} lost by the broker; {_levels:#,0} levels, "
                + $"{100.0 * _unknown / _levels:0.0} % unknown; {faults}");
    }

    /// <summary>N1 and N2: what was acknowledged is there, once, and nothing else.</summary>
    private void CheckReadings()
    {
        using var store = SentinelStore.Reading(_garden.Store.Path);
        var names = store.SeriesNames;
        var stored = store.ReadSeason().Select(row => (Series: names[row.Series], row.TimeMs, row.Value)).ToList();
        stored.AddRange(Aside().Select(row => (names[row.Series], row.TimeMs, row.Value)));
        var bySeries = stored.ToLookup(row => row.Series, StringComparer.Ordinal);
        foreach (var device in _devices)
        {
            var series = _garden.Series.Single(one => one.Topic == device.Topic).Name;
            var all = _sent.Where(message => message.Device == device).ToList();
            var safe = all.Where(message => message is { IsAcknowledged: true, Value: not null }).ToList();
            if (device.TellsTime)
            {
                // A moment that a wrong clock had shown before has a reading that was set aside, and one that was not.
                var times = bySeries[series].ToLookup(row => row.TimeMs, row => row.Value);
                var sent = all.Where(message => message.TimeMs is not null).ToDictionary(
                    message => message.TimeMs!.Value, message => message.Value);
                foreach (var message in safe.Where(message => message is { MayBeRefused: false, CameWithClockWrong: false }))
                    Assert.True(times.Contains(message.TimeMs!.Value), $"{device.Topic}: {message.Payload} was acknowledged, and is lost");
                // A time that cannot be is none: such a reading counts when it came.
                var whenever = all
                    .Where(message => message.MayBeRefused || message.CameWithClockWrong)
                    .Select(message => message.Value)
                    .ToHashSet();
                foreach (var (_, ms, found) in bySeries[series])
                    Assert.True(
                        (sent.TryGetValue(ms, out var value) && value == found) || whenever.Contains(found),
                        $"{device.Topic}: {found} at {DateTimeOffset.FromUnixTimeMilliseconds(ms):u} was never sent");
            }
            else
            {
                var wanted = safe.Where(message => !message.MayBeRefused).Select(message => message.Value!.Value).Order().ToList();
                var found = bySeries[series].Select(row => row.Value).Where(value => value < 9999).Order().ToList();
                Assert.True(
                    wanted.SequenceEqual(found),
                    $"{device.Topic}: {wanted.Count} values acknowledged, {wanted.Sum():0.0} in all; "
                        + $"{found.Count} there, {found.Sum():0.0} in all");
            }
        }

        var nonsense = _sent.Count(message => message is { Value: null, IsAcknowledged: true });
        Assert.True(store.Quarantine().Sum(row => row.Count) >= nonsense, "nonsense that was not kept aside");
    }

    private List<(int Series, long TimeMs, double Value)> Aside()
    {
        using var connection = new SqliteConnection($"Data Source={_garden.Store.Path};Pooling=False;Mode=ReadOnly");
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = "select series, time_ms, value from readings_aside";
        using var row = command.ExecuteReader();
        List<(int, long, double)> rows = [];
        while (row.Read())
            rows.Add((row.GetInt32(0), row.GetInt64(1), row.GetDouble(2)));
        return rows;
    }

    /// <summary>N5: the stored season, judged from empty, gives what stands.</summary>
    private void CheckJudgement()
    {
        var season = StoredSeason.Load(_garden, _time.GetUtcNow(), null, []);
        foreach (var (site, watch) in _service!.Loop.Watches)
            Assert.Equal($"{site} {State(season.Watches[site])}", $"{site} {State(watch)}");
    }

    /// <summary>A start tells nothing that was told before.</summary>
    private async Task CheckRestartAsync()
    {
        var before = Events();
        var alerts = Alerts();
        await _service!.StopAsync();
        Disconnect();
        Start();
        _service.Nudge();
        _service.Settle();
        Assert.Equal(before, Events());
        Assert.Equal(alerts, Alerts());
        Assert.Equal(alerts.Select(row => row.Id).Distinct().Count(), alerts.Count);
    }

    private List<StoredEvent> Events()
    {
        using var store = SentinelStore.Reading(_garden.Store.Path);
        return [.. store.Events()];
    }

    private List<OutboxRow> Alerts()
    {
        using var outbox = OutboxStore.Open(_garden.Store.Path);
        return [.. outbox.Rows()];
    }

    private static string State(SiteWatch watch) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{watch.LastInterval} {watch.LastWetness} {watch.RunningSpell} {watch.Risks[0].Level} {watch.Risks[0].Cover}");

    private List<string> Record() =>
    [
        .. SampleStore.Dump(_garden.Store.Path).Order(StringComparer.Ordinal),
        .. _published.OrderBy(one => one.Key, StringComparer.Ordinal).Select(one => $"{one.Key} {one.Value}"),
    ];
}
