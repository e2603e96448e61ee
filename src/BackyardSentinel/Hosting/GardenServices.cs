using BackyardSentinel.Alerting;
using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Guards;
using BackyardSentinel.Homie;
using BackyardSentinel.Live;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Storage;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>
/// What runs beside the loop for one garden: the journal, the way of alerts to their receivers, the forecast, the
/// heartbeat, the look after the house itself. Each runs on its own; none can stop the loop.
/// </summary>
public sealed class GardenServices : IDisposable
{
    private readonly ILogger _log;
    private readonly TimeProvider _time;
    private readonly AlertWiring _alerts;
    private readonly ForecastWiring? _forecast;
    private readonly JournalBook _journal;
    private readonly AnswerBook _answers;
    private readonly OutboxStore _outbox;
    private readonly ForecastMarks? _marks;
    private readonly OutboxDispatcher? _dispatcher;
    private readonly HomieLink? _homie;
    private readonly InfluxWiring? _influx;
    private readonly Capture? _capture;
    private readonly Action<OutgoingMessage> _publish;
    private readonly string _topicRoot;

    private GardenServices(
        GardenFile garden,
        BrokerOptions broker,
        Func<MqttLink> link,
        ServiceOptions options,
        TimeProvider time,
        ILogger log)
    {
        (_time, _log, _topicRoot) = (time, log, broker.TopicRoot);
        _publish = message => link().Publish(message);
        _alerts = AlertWiring.Of(garden);
        foreach (var says in _alerts.Words.Gaps?.Says ?? [])
            log.Warning("{Words}.", says.Text);
        _forecast = garden.Forecast is { } settings ? ForecastWiring.Of(settings) : null;
        _journal = JournalBook.Beside(garden.Store.Path);
        _answers = AnswerBook.Beside(garden.Store.Path);
        _outbox = OutboxStore.Open(garden.Store.Path);
        _marks = _forecast?.Source is null ? null : ForecastMarks.Open(garden.Store.Path);
        // In a season that passes in fast time the clock of receivers and their patience means nothing.
        if (_alerts.Receivers.Count > 0 && !options.ClockFromReadings)
        {
            var receivers = _alerts.Connect(
                (topic, payload, ct) => link().PublishOnceAsync(topic, payload, ct),
                Console.Error,
                time,
                () => GardenClock.WasSet(time.GetUtcNow()));
            _dispatcher = new OutboxDispatcher(_outbox, [.. receivers], _alerts.Policy, time, log, Random.Shared);
            _dispatcher.Health.Changed += (_, _) => TellAlertPath();
        }

        if (!options.ClockFromReadings)
            _influx = InfluxWiring.Of(garden, time, log);
        if (_influx is not null)
            _influx.Told += topic => _publish(new OutgoingMessage(broker.InfluxTopic, TopicJson.Influx(topic)));
        if (garden.Broker.Homie)
            _homie = new HomieLink(broker, garden.Sites, time, log, () => link() is { IsUp: false });
        var house = new HouseCheck(() => HouseCheck.FreeMb(garden.Store.Path), _dispatcher?.Health, Damaged(garden.Store.Path));
        _capture = garden.Capture is { } kept ? new Capture(kept, time, log) : null;
        Parts = new LoopParts
        {
            OnMessage = _capture is null ? null : _capture.Take,
            Journal = _journal,
            Answers = _answers,
            KeepAlmanac = garden.Page is not null,
            Alerts = _alerts.Policy,
            Outbox = _dispatcher is null
                ? new AlertOutbox([], _alerts.Say, null, Told)
                : _alerts.Outbox(_dispatcher.Wake, Told),
            ForecastTopic = _forecast?.Topic,
            AnswerTopic = broker.TopicRoot + "/answer",
            LookAhead = outlook => garden.Sites.SelectMany(site =>
                SiteOutlook.Look(outlook.Watches[site.Id], outlook.Journal, outlook.Forecast, outlook.Now)),
            LookAround = options.ClockFromReadings ? null : house.Look,
            OnPublished = _homie is null ? null : _homie.Show,
            OnTroubles = _homie is null ? null : sensors => ShowTroubles([.. sensors, .. options.ClockFromReadings ? [] : house.Standing]),
        };

        void Told(AlertMessage message) => options.OnAlert?.Invoke(message);
    }

    /// <summary>What the loop works with.</summary>
    public LoopParts Parts { get; }

    /// <summary>What must turn for alerts to get out and for hubs to be right, in words for the log.</summary>
    public IEnumerable<(string Name, TurnWatch Turns)> Turns =>
    [
        .. _dispatcher?.Turns.Select(way => ($"The way to the destination {way.Receiver}", way.Turns)) ?? [],
        .. _homie is null ? [] : new[] { ("The Homie device's link to the broker", _homie.Turns) },
    ];

    /// <summary>Topics that the link subscribes to beside the sensors'.</summary>
    public IEnumerable<string> Topics => Parts.ForecastTopic is { } forecast ? [Parts.AnswerTopic!, forecast.Topic] : [Parts.AnswerTopic!];

    /// <summary>Readies everything; nothing runs yet. The store must be open already.</summary>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    /// <exception cref="WiringProblemException">Something that the garden file points to is missing or wrong.</exception>
    public static GardenServices Open(
        GardenFile garden, BrokerOptions broker, Func<MqttLink> link, ServiceOptions options, TimeProvider time, ILogger log) =>
        new(garden, broker, link, options, time, log);

    /// <summary>Runs until cancelled, or until the store is found to be damaged: that is thrown.</summary>
    /// <param name="isWell">Readings are taken and judged; asked before each heartbeat.</param>
    /// <param name="ct">Asks it to stop.</param>
    public async Task RunAsync(Func<bool> isWell, CancellationToken ct)
    {
        List<(string Name, Func<CancellationToken, Task> Run)> beside = [];
        if (_dispatcher is not null)
        {
            TellAlertPath();
            beside.Add(("Sending alerts", _dispatcher.RunAsync));
        }

        if (_homie is not null)
            beside.Add(("The Homie device", _homie.RunAsync));
        if (_capture is not null)
            beside.Add(("The recording of messages", _capture.RunAsync));
        if (_alerts.Heartbeat(isWell, _time, _log) is { } heartbeat)
            beside.Add(("The heartbeat", heartbeat.RunAsync));
        if (_influx is not null)
            beside.Add(("The copy in InfluxDB", _influx.Forwarder.RunAsync));
        if (_forecast is not null)
            beside.Add(
                ("The forecast", token => _forecast.RunAsync(Parts.Forecasts, _time, Random.Shared.NextDouble, _log, _marks, token)));
        await KeptRunning.RunAllAsync(beside, _time, _log, StoreRefusal.IsSpoilt, ct).ConfigureAwait(false);
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _capture?.Dispose();
        _alerts.Dispose();
        _influx?.Dispose();
        _outbox.Dispose();
        _marks?.Dispose();
        _answers.Dispose();
        _journal.Dispose();
    }

    private static StoreDamaged? Damaged(string path)
    {
        using var store = SentinelStore.Reading(path);
        return store.Damage() is { } damage ? new StoreDamaged(damage.At, damage.Readings, damage.Lost ?? 0) : null;
    }

    /// <summary>
    /// The troubles that stand now, on the Homie device: a state there, whatever is told to the phone and when. Each is
    /// the first sentence of its message.
    /// </summary>
    private void ShowTroubles(IReadOnlyList<Occasion> standing) => _homie!.ShowTroubles(
        standing.Select(one => (one.Subject, _alerts.Say(Alert.Of(one, one.At)).Text.Split('\n')[0])));

    /// <summary>Whether any alert gets out, retained, so that a dashboard or a watchdog sees what no alert can tell.</summary>
    private void TellAlertPath()
    {
        var health = _dispatcher!.Health;
        _publish(
            new OutgoingMessage(_topicRoot + "/alert-path", TopicJson.AlertPath(health.IsDead, health.OpenSince, health.LastWorkedAt)));
        if (health.IsDead)
            _log.Error("No alert has got out for {Hours} hours. Run 'alert test' to see why.", AlertPathHealth.Patience.TotalHours);
    }
}
