using System.Collections.Concurrent;
using BackyardSentinel.Commands;

namespace BackyardSentinel.Simulation;

/// <summary>
/// A garden in simulated time: its sensors, its broker, its computer's clock, and the service while it runs. What was sent is written
/// down, so that the store can be held to it. What happens, and when, is said from outside.
/// </summary>
/// <param name="file">The garden file; another may take its place at a start.</param>
/// <param name="begin">The time at which it begins, UTC.</param>
/// <param name="devices">Its sensors.</param>
/// <param name="phone">Who gets the alerts; <c>null</c>: nobody is sent any.</param>
/// <param name="brokerKeeps">So many messages wait at the broker at most.</param>
internal sealed class SimulatedGarden(
    GardenFile file,
    DateTimeOffset begin,
    IReadOnlyList<SimulatedDevice> devices,
    SimulatedPhone? phone = null,
    int brokerKeeps = 1000) : IAsyncDisposable
{
    // What the service has published since its start; it is published again at each connection.
    private readonly ConcurrentDictionary<string, string> _published = [];
    private readonly Dictionary<string, (DateTimeOffset Truth, DateTimeOffset Stamp)> _lastHeard = [];
    private readonly List<(string Site, DateTimeOffset Time)> _claimed = [];
    private DateTimeOffset? _deafSince;
    private bool _acksAreLost;

    public DateTimeOffset Begin => begin;

    public GardenFile File { get; set; } = file;

    public IReadOnlyList<SimulatedDevice> Devices => devices;

    public SimulatedTime Time { get; } = new(begin);

    public SimulatedBroker Broker { get; } = new(brokerKeeps);

    public SimulatedPhone? Phone => phone;

    /// <summary>All that sensors have said, each thing once.</summary>
    public List<SimulatedMessage> Sent { get; } = [];

    /// <summary>The alerts that the service has told, each time it did.</summary>
    public ConcurrentQueue<string> Alerted { get; } = [];

    /// <summary>The service; <c>null</c>: it is off.</summary>
    public SimulatedService? Service { get; private set; }

    /// <summary>What the service takes is made safe, and its saying so does not reach the broker.</summary>
    public bool AcksAreLost
    {
        get => _acksAreLost;
        set => _acksAreLost = value;
    }

    /// <summary>Nothing from before counts: a month before the beginning, so that nothing of it is the rest of a season before.</summary>
    public DateTimeOffset SeasonStart => begin.AddDays(-30);

    /// <summary>From when to when the service could hear nothing.</summary>
    public List<(DateTimeOffset From, DateTimeOffset To)> Deaf { get; } = [];

    public bool IsUp => Service is { IsUp: true };

    /// <summary>Writes a garden file and reads it: each site has a bed of each name.</summary>
    public static GardenFile Written(string folder, string name, IReadOnlyList<SimulatedDevice> devices, IReadOnlyList<string> beds)
    {
        var path = Path.Combine(folder, $"{name}.yaml");
        System.IO.File.WriteAllText(path, $"""
            broker:
              port: 1
            store:
              path: {Path.Combine(folder, $"{name}.db")}
            sites:
            {string.Concat(devices.GroupBy(device => device.Site).Select(site => $"""
              - id: {site.Key}
                series:
            {string.Concat(site.Select(device => device.Lines))}
                plantings:
            {string.Concat(beds.Select(bed => $"      - id: {site.Key}-{bed}\n        kind: peach\n        stage: always\n"))}
            """))}
            """);
        return GardenProblemException.Read(path);
    }

    public void Start()
    {
        _published.Clear();
        Service = new SimulatedService(this, (topic, payload) =>
        {
            _published[topic] = payload;
            if (IsUp)
                Broker.Retained[topic] = payload;
        });
        Connect(isNewProcess: true);
    }

    public void Connect(bool isNewProcess)
    {
        AcksAreLost = false;
        Broker.Connect(isNewProcess);
        foreach (var (topic, payload) in _published)
            Broker.Retained[topic] = payload;
        Service!.IsUp = true;
        if (_deafSince is { } since)
            Deaf.Add((since, Time.Truth));
        _deafSince = null;
    }

    /// <summary>The link is lost.</summary>
    /// <param name="isNoticed">
    /// The service is not held up by its disk or a clock in doubt; then it would know of this only later, or not at all.
    /// </param>
    public void Disconnect(bool isNoticed = true)
    {
        Broker.Disconnect();
        if (isNoticed)
            _deafSince ??= Time.Truth;
        if (Service is { } service)
            service.IsUp = false;
    }

    public Task KillAsync() => EndAsync(service => service.KillAsync());

    public Task StopAsync() => EndAsync(service => service.StopAsync());

    /// <summary>A sensor says something, which is written down; whether and when it reaches the broker is another matter.</summary>
    public SimulatedMessage Say(SimulatedDevice device, string payload, long? timeMs, double? value, bool mayBeRefused)
    {
        var message = new SimulatedMessage(device, payload, timeMs, value, mayBeRefused);
        Sent.Add(message);
        return message;
    }

    /// <summary>Time passes, and the service has seen that it has before anything else happens.</summary>
    public void Pass(TimeSpan later)
    {
        Time.Advance(later);
        Settle();
        Service?.Send(later);
    }

    /// <summary>The service has seen how things stand.</summary>
    public void Settle()
    {
        Service?.Nudge();
        Service?.Settle();
    }

    /// <summary>What waits at the broker comes, as far as it may.</summary>
    public void DeliverAll()
    {
        while (true)
        {
            // Also of what the service could make safe only now.
            Broker.Hear(AcksAreLost);
            if (Service is not { HasTakenAll: true } service)
                return;
            List<ArrivedMessage> together = [];
            foreach (var (message, arrived) in Broker.Deliver(20, IsSafe))
            {
                message.CameWithClockWrong |= Time.Wrong != TimeSpan.Zero;
                message.Came.Add(Time.Truth);
                if (!message.MayBeRefused && message.Device.Quantity is Quantity.Temperature or Quantity.Humidity)
                    _lastHeard[message.Device.Site] = (Time.Truth, Time.GetUtcNow());
                else if (message is { TimeMs: { } claimed, Value: < SimulatedDevice.Impossible })
                    _claimed.Add((message.Device.Site, DateTimeOffset.FromUnixTimeMilliseconds(claimed)));
                together.Add(arrived);
            }

            if (together.Count == 0)
                return;
            service.OfferTogether(together);
            service.Settle();
            if (!AcksAreLost)
                continue;
            Broker.Hear(areLost: true);
            return;

            void IsSafe(SimulatedMessage message)
            {
                message.Safe.Add(Time.Truth);
                service.Handled();
            }
        }
    }

    /// <summary>
    /// When temperature or humidity of a site last came; the beginning: never. A clock that was ahead has stamped it later, the
    /// computer's or the sensor's own: what it stamped counts there, unless that is still to come.
    /// </summary>
    public DateTimeOffset LastHeard(string site)
    {
        var heard = !_lastHeard.TryGetValue(site, out var last) ? begin
            : last.Stamp > last.Truth && last.Stamp <= Time.Truth ? last.Stamp
            : last.Truth;
        return _claimed.Where(one => one.Site == site && one.Time <= Time.Truth).Select(one => one.Time).Append(heard).Max();
    }

    public async ValueTask DisposeAsync()
    {
        if (Service is { } service)
            await service.DisposeAsync();
    }

    private async Task EndAsync(Func<SimulatedService, Task> end)
    {
        var service = Service!;
        var isNoticed = service.HasTakenAll;
        await end(service);
        Disconnect(isNoticed);
        Service = null;
    }
}
