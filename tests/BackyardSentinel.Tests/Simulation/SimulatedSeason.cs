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

    private readonly Random _random;
    private readonly SimulatedWeather _weather;
    private readonly SimulatedGarden _garden;
    private readonly SimulatedChecks _checks;
    private readonly DateTimeOffset _begin;
    private readonly List<(DateTimeOffset At, SimulatedMessage Message)> _late = [];
    private readonly Dictionary<string, int> _faults = [];
    private readonly HashSet<(SimulatedDevice, long)> _wrongTimes = [];
    private DateTimeOffset _offUntil, _downUntil, _clockUntil;

    public SimulatedSeason(string folder, int seed)
    {
        (_random, _weather) = (new Random(seed), new SimulatedWeather(seed));
        _begin = new DateTimeOffset(2027 + (seed % 3), 10, 15, 0, 0, 0, TimeSpan.Zero);
        List<SimulatedDevice> devices = [];
        foreach (var site in (string[])["north", "south", "east", "west", "hill"])
        {
            devices.Add(new SimulatedDevice(site, Quantity.Temperature, true));
            devices.Add(new SimulatedDevice(site, Quantity.Humidity, true));
            devices.Add(new SimulatedDevice(site, Quantity.Rain, false));
            devices.Add(new SimulatedDevice(site, Quantity.LeafWetness, site is "north" or "hill"));
        }

        _garden = new SimulatedGarden(SimulatedGarden.Written(folder, $"season-{seed}", devices, ["peach"]), _begin, devices);
        _checks = new SimulatedChecks(_garden);
    }

    /// <summary>What was seen, in words.</summary>
    public string Figures { get; private set; } = "";

    /// <summary>Plays it, and gives all that is stored and published at its end, line by line.</summary>
    public async Task<List<string>> PlayAsync(int days)
    {
        var end = _begin.AddDays(days);
        _garden.Start();
        while (_garden.Time.Truth < end)
        {
            // The last hours are quiet, so that everything that waits comes.
            if (_garden.Time.Truth < end.AddHours(-12))
                await GoWrongAsync();
            await PassAsync();
        }

        await CheckAsync();
        return _checks.Record();
    }

    public ValueTask DisposeAsync() => _garden.DisposeAsync();

    private async Task GoWrongAsync()
    {
        var now = _garden.Time.Truth;
        if (_garden.Service is null && now >= _offUntil)
            _garden.Start();
        if (_garden.Service is { IsUp: false } && now >= _downUntil)
            _garden.Connect(isNewProcess: false);
        if (_garden.Time.Wrong != TimeSpan.Zero && now >= _clockUntil)
            _garden.Time.Wrong = TimeSpan.Zero;
        if (Happens("saved", 0.05))
            _garden.Broker.Save();
        if (_garden.Service is not null)
        {
            if (Happens("killed", 0.003))
            {
                await _garden.KillAsync();
                Off();
            }
            else if (Happens("stopped", 0.001))
            {
                await _garden.StopAsync();
                Off();
            }
            else if (_garden.IsUp && Happens("link lost", 0.004))
            {
                _garden.Disconnect();
                _downUntil = now + For(6);
            }
            else if (_garden.IsUp && Happens("acknowledgements lost", 0.002))
            {
                _garden.AcksAreLost = true;
                _downUntil = now + For(1);
            }
            else if (_garden.IsUp && Happens("broker forgot", 0.0005))
            {
                _garden.Disconnect();
                _garden.Broker.Forget();
                _downUntil = now + For(2);
            }
            else if (_garden.IsUp && Happens("broker lost power", 0.0005))
            {
                _garden.Disconnect();
                _garden.Broker.LosePower();
                _downUntil = now + For(2);
            }
        }

        if (_garden.Time.Wrong == TimeSpan.Zero && Happens("clock wrong", 0.0003))
        {
            _garden.Time.Wrong = _random.Next(4) switch
            {
                0 => TimeSpan.FromDays(_random.Next(2, 400)),
                1 => -TimeSpan.FromDays(_random.Next(2, 400)),
                2 => TimeSpan.FromHours(_random.Next(2, 20)),
                _ => -TimeSpan.FromHours(_random.Next(2, 20)),
            };
            _clockUntil = now + For(12);
        }

        void Off() => _offUntil = now + (_random.Next(3) == 0 ? For(30) : For(1));
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
        _garden.Pass(Step - TimeSpan.FromSeconds(4));
        foreach (var message in Speak())
            _garden.Broker.Take(message);
        _garden.DeliverAll();
        _garden.Pass(TimeSpan.FromSeconds(4));
        if (_garden.Service is null)
            return;
        _garden.DeliverAll();
        _checks.Look();
        if (!_garden.AcksAreLost)
            return;
        _garden.Disconnect();
        if (_random.Next(2) == 0)
            return;
        // It was killed between making them safe and saying so.
        await _garden.KillAsync();
        _offUntil = _garden.Time.Truth;
    }

    private List<SimulatedMessage> Speak()
    {
        var now = _garden.Time.Truth;
        List<SimulatedMessage> says = [];
        for (var i = 0; i < _garden.Devices.Count; i++)
        {
            var device = _garden.Devices[i];
            if (Happens("never sent", 0.01))
                continue;
            // No two readings of one sensor have one time.
            var ms = now.ToUnixTimeMilliseconds() + (_garden.Sent.Count % 1000);
            var value = _weather.At(device.Quantity, now, i / 4);
            if (Happens("nonsense", 0.002))
            {
                Send(device, _random.Next(2) == 0 ? "{\"v\":\"21,5\"}" : "{\"v\":nan", null, null, true);
                continue;
            }

            if (Happens("impossible value", 0.002))
            {
                Send(device, device.Says(SimulatedDevice.Impossible, ms), device.TellsTime ? ms : null, SimulatedDevice.Impossible, true);
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
            var message = _garden.Say(device, payload, ms, value, mayBeRefused);
            says.Add(message);
            return message;
        }
    }

    private async Task CheckAsync()
    {
        if (_garden.Service is null)
            _garden.Start();
        _garden.Time.Wrong = TimeSpan.Zero;
        if (!_garden.IsUp)
            _garden.Connect(isNewProcess: false);
        for (var i = 0; i < 18; i++)
            await PassAsync();
        Assert.True(_garden.Broker.IsEmpty, "something waits at the broker still");
        _checks.Readings();
        _checks.Judgement();
        await _checks.RestartAsync();
        var lost = _garden.Sent.Count(message => message is { IsLost: true, IsAcknowledged: false });
        var faults = string.Join(
            ", ",
            _faults.OrderBy(fault => fault.Key, StringComparer.Ordinal).Select(fault => $"{fault.Key} {fault.Value}"));
        Figures = string.Create(
            CultureInfo.InvariantCulture,
            $"{_garden.Sent.Count:#,0} messages, {lost:#,0} lost by the broker; {_checks.Levels.All:#,0} levels, "
                + $"{100.0 * _checks.Levels.Unknown / _checks.Levels.All:0.0} % unknown; {faults}");
    }
}
