using BackyardSentinel.Live;
using BackyardSentinel.PowerCuts;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Simulation;

/// <summary>A schedule, played: what happens is said one by one, and the service is held to all of it.</summary>
/// <param name="garden">A garden in which nothing has happened yet.</param>
/// <param name="other">Another garden file for it.</param>
/// <param name="disk">The disk, where it refuses something; otherwise <c>null</c>.</param>
internal sealed class PlayedSchedule(SimulatedGarden garden, GardenFile other, Recording? disk) : IAsyncDisposable
{
    private static readonly TimeSpan Round = TimeSpan.FromMinutes(10), Step = 3 * Round, Moment = TimeSpan.FromSeconds(4);

    /// <summary>SQLite's codes, sqlite.org/rescode.html: a full disk, one full after half of a write, errors of write and sync.</summary>
    private static readonly int[] Refusals = [13, -13, 778, 1034];

    private readonly SimulatedChecks _checks = new(garden);
    private readonly List<(DateTimeOffset At, Func<Task> Happens)> _later = [];
    private readonly SimulatedSensors _sensors = new(garden);
    private (GardenFile Now, GardenFile Then) _files = (garden.File, other);
    private bool _isNew, _brokerWentBack;
    private int _endsSending;

    /// <summary>How often things happened, and what came of it.</summary>
    public Dictionary<string, long> Figures { get; } = [];

    private DateTimeOffset Now => garden.Time.Truth;

    /// <summary>Plays it, and gives all that is stored and published at its end, line by line.</summary>
    public async Task<List<string>> PlayAsync(IReadOnlyList<Happening> schedule)
    {
        garden.Start();
        await HearAsync();
        // Each sensor speaks once: one that never has is silent since the service began, and no store tells when that was.
        await RoundAsync();
        foreach (var one in schedule)
        {
            Count($"{one.What}");
            await HappenAsync(one);
            await HearAsync();
        }

        await EndAsync();
        return _checks.Record();
    }

    public ValueTask DisposeAsync() => garden.DisposeAsync();

    private async Task HappenAsync(Happening one)
    {
        var device = garden.Devices[Math.Clamp(one.Of, 0, garden.Devices.Count - 1)];
        var by = TimeSpan.FromMinutes(Math.Max(0, one.By));
        switch (one.What)
        {
            case What.AllSpeak:
                for (var i = 0; i < one.By; i++)
                    await RoundAsync();
                break;
            case What.Wait:
                await PassAsync(by);
                break;
            case What.WetOrDry:
                _sensors.IsDry = !_sensors.IsDry;
                break;
            case What.Says:
                garden.Broker.Take(_sensors.Say(device));
                break;
            case What.TwoOfOneTime:
                var ms = _sensors.NextMs();
                garden.Broker.Take(_sensors.Say(device, ms));
                garden.Broker.Take(_sensors.Say(device, ms));
                break;
            case What.SaysTwice:
                var said = _sensors.Say(device);
                garden.Broker.Take(said);
                // Amounts without a time are two amounts.
                garden.Broker.Take(device.TellsTime ? said.Copy() : garden.Say(device, said.Payload, null, said.Value, false));
                break;
            case What.Late:
                var late = _sensors.Say(device);
                Later(by, async () =>
                {
                    garden.Broker.Take(late);
                    await HearAsync();
                });
                break;
            case What.OtherOrder:
                _sensors.Speak(backwards: true);
                break;
            case What.Silent:
                _sensors.Silence(device, one.By);
                break;
            case What.Nonsense:
                var payload = (string[])["{\"v\":\"21,5\"}", "{\"v\":nan", "\u0000"];
                garden.Broker.Take(garden.Say(device, payload[Math.Clamp(one.By, 0, 2)], null, null, true));
                break;
            case What.ImpossibleValue:
                var at = _sensors.NextMs();
                var impossible = SimulatedDevice.Impossible;
                garden.Broker.Take(garden.Say(device, device.Says(impossible, at), device.TellsTime ? at : null, impossible, true));
                break;
            case What.SensorClockWrong:
                var wrong = _sensors.NextMs() + (one.By * 3_600_000L) + 1;
                garden.Broker.Take(_sensors.Say(device, wrong, mayBeRefused: device.TellsTime));
                break;
            case What.RetainedCopies:
                if (!garden.IsUp)
                    break;
                garden.Disconnect();
                garden.Settle();
                Connect();
                foreach (var copy in garden.Devices.Select(_sensors.LastOf).OfType<SimulatedMessage>())
                    garden.Broker.Take(copy.Copy(isRetained: true));
                break;
            case What.LinkLost:
                LoseLink(by);
                break;
            case What.AnswersLost:
                garden.AcksAreLost = garden.IsUp;
                _sensors.Speak();
                garden.DeliverAll();
                LoseLink(by);
                break;
            case What.BrokerForgets:
                LoseLink(by);
                garden.Broker.Forget();
                break;
            case What.BrokerSaves:
                garden.Broker.Save();
                break;
            case What.BrokerLosesPower:
                LoseLink(by);
                garden.Broker.LosePower();
                _brokerWentBack = true;
                break;
            case What.Kill:
                await KillAsync(by);
                break;
            case What.KillUnheard:
                garden.AcksAreLost = garden.IsUp;
                _sensors.Speak();
                garden.DeliverAll();
                await KillAsync(by);
                break;
            case What.KillTaking:
                garden.Service?.KillTaking(Math.Max(1, one.Of));
                _sensors.Speak();
                garden.DeliverAll();
                await KillAsync(by);
                break;
            case What.KillSending:
                garden.Phone!.OnGot = () =>
                {
                    garden.Service!.KillSending();
                    _endsSending++;
                    Later(TimeSpan.Zero, () => KillAsync(by));
                };
                break;
            case What.Stop:
                await StopAsync();
                StartLater(by);
                break;
            case What.OtherGarden:
                await StopAsync();
                _files = (_files.Then, _files.Now);
                garden.File = _files.Now;
                StartLater(TimeSpan.Zero);
                break;
            case What.ClockWrong:
                garden.Time.Wrong = TimeSpan.FromMinutes(one.Of);
                Later(by, () =>
                {
                    garden.Time.Wrong = TimeSpan.Zero;
                    return Task.CompletedTask;
                });
                break;
            case What.DiskRefuses:
                var code = Refusals[Math.Clamp(one.Of, 0, 3)];
                disk!.Fault = step => step is Synced == (code == 1034) && step is Written or Synced ? code : 0;
                Later(by, () =>
                {
                    disk.Fault = null;
                    return Task.CompletedTask;
                });
                break;
            case What.Phone:
                garden.Phone!.Mood = (PhoneMood)Math.Clamp(one.Of, 1, 4);
                Later(by, () =>
                {
                    garden.Phone.Mood = PhoneMood.Takes;
                    return Task.CompletedTask;
                });
                break;
        }
    }

    private async Task RoundAsync()
    {
        await PassAsync(Round - Moment);
        _sensors.Speak();
        await HearAsync();
    }

    /// <summary>What is at the broker comes, and the service has a moment for it.</summary>
    private async Task HearAsync()
    {
        garden.DeliverAll();
        await PassAsync(Moment);
        _checks.Look();
    }

    /// <summary>Time passes, and what was to happen meanwhile does.</summary>
    private async Task PassAsync(TimeSpan span)
    {
        var end = Now + span;
        while (true)
        {
            var next = _later.Select(one => one.At).Append(end).Min();
            var step = _isNew ? Moment : Step;
            if (next > Now + step)
                next = Now + step;
            if (next > Now)
            {
                // A wake goes off once for a step: who has just begun to listen gets one soon.
                _isNew = false;
                disk?.Steps.Clear();
                garden.Pass(next - Now);
                garden.DeliverAll();
                _checks.Look();
            }

            while (_later.FindIndex(one => one.At <= Now) is >= 0 and var due)
            {
                var happens = _later[due].Happens;
                _later.RemoveAt(due);
                await happens();
            }

            if (Now >= end)
                return;
        }
    }

    private void Later(TimeSpan span, Func<Task> happens) => _later.Add((Now + span, happens));

    private void LoseLink(TimeSpan span)
    {
        if (!garden.IsUp)
            return;
        garden.Disconnect(isNoticed: garden.Service is { HasTakenAll: true });
        garden.Settle();
        Later(span, () =>
        {
            if (garden.Service is { IsUp: false })
                Connect();
            return Task.CompletedTask;
        });
    }

    private void Connect()
    {
        garden.Connect(isNewProcess: false);
        garden.Settle();
        _isNew = true;
    }

    private async Task KillAsync(TimeSpan off)
    {
        if (garden.Service is null)
            return;
        EndsWhileDiskRefuses();
        await garden.KillAsync();
        StartLater(off);
    }

    private async Task StopAsync()
    {
        if (garden.Service is null)
            return;
        EndsWhileDiskRefuses();
        await garden.StopAsync();
    }

    /// <summary>That a message went out may not have been written down.</summary>
    private void EndsWhileDiskRefuses() => _endsSending += disk?.Fault is null ? 0 : 1;

    /// <summary>It is started, and by systemd again a minute later where it cannot.</summary>
    private void StartLater(TimeSpan span) => Later(span, () =>
    {
        if (garden.Service is not null)
            return Task.CompletedTask;
        try
        {
            garden.Start();
            garden.Settle();
            _isNew = true;
        }
        catch (Exception failure) when (disk?.Fault is not null && failure is StoreException or SqliteException)
        {
            Count("could not start");
            StartLater(TimeSpan.FromMinutes(1));
        }

        return Task.CompletedTask;
    });

    /// <summary>All heals, two quiet hours pass, and everything is looked at.</summary>
    private async Task EndAsync()
    {
        (garden.Phone!.OnGot, garden.Phone.Mood, garden.Time.Wrong) = (null, PhoneMood.Takes, TimeSpan.Zero);
        if (disk is not null)
            disk.Fault = null;
        if (_later.Count > 0)
            await PassAsync(_later.Max(one => one.At) - Now);
        _sensors.SpeakAgain();
        Assert.True(garden.IsUp, "the service is not back");
        for (var i = 0; i < 12; i++)
            await RoundAsync();
        Assert.True(garden.Service is { HasTakenAll: true, IsCatchingUp: false }, "the service still waits for something");
        Assert.True(garden.Broker.IsEmpty, "something waits at the broker still");
        // Where the service counts on from a clock that was ahead, all that sensors stamp comes late, and what comes late all the time is
        // judged again once an hour.
        if (Now.AddMinutes(1) < garden.Service.Now)
            await PassAsync(LateReadings.LongestPause + TimeSpan.FromMinutes(1));
        _checks.Readings(brokerKeptNumbers: !_brokerWentBack);
        _checks.Judgement();
        await _checks.RestartAsync();
        _isNew = true;
        await HearAsync();
        _checks.Messages(_endsSending);
        Count("hours", (long)(Now - garden.Begin).TotalHours);
        Count("messages", garden.Sent.Count);
        Count("lost by the broker", garden.Sent.Count(message => message is { IsLost: true, IsAcknowledged: false }));
        Count("alerts", garden.Alerted.Count);
        Count("levels unknown", _checks.Levels.Unknown);
        Count("levels", _checks.Levels.All);
    }

    private void Count(string what, long more = 1) => Figures[what] = Figures.GetValueOrDefault(what) + more;
}
