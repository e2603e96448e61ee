using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Ingest;
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
    private readonly GardenFile _garden;
    private readonly ILogger _log;
    private readonly TimeProvider _time;
    private readonly JournalBook _journal;
    private readonly AnswerBook _answers;
    private readonly OutboxStore _outbox;
    private readonly OutboxDispatcher? _dispatcher;
    private readonly ForecastMap? _map;
    private readonly ForecastInlet _forecasts = new();
    private readonly List<HttpMessageInvoker> _http = [];
    private readonly Action<OutgoingMessage> _publish;
    private readonly string _baseTopic;

    private GardenServices(GardenFile garden, BrokerOptions broker, Func<MqttLink> link, DateTimeOffset latestStored, ServiceOptions options, TimeProvider time, ILogger log)
    {
        (_garden, _time, _log, _baseTopic) = (garden, time, log, broker.BaseTopic);
        _publish = message => link().Publish(message);
        _journal = JournalBook.Open(garden.Store.Path);
        _answers = AnswerBook.Open(garden.Store.Path);
        _outbox = OutboxStore.Open(garden.Store.Path);
        _map = garden.Forecast is { } forecast ? ForecastWiring.Map(forecast) : null;
        var words = AlertWiring.Words(garden);
        var zoneOf = AlertWiring.ZoneOf(garden);
        // In a season that passes in fast time the clock of receivers and their patience means nothing.
        IReadOnlyList<ReceiverSettings> settings = options.ClockFromReadings ? [] : AlertWiring.Settings(garden);
        if (settings.Count > 0)
        {
            _dispatcher = new OutboxDispatcher(
                _outbox,
                [.. settings.Select(one => AlertWiring.Receiver(one, (topic, payload, ct) => link().PublishOnceAsync(topic, payload, ct), broker.BaseTopic, Console.Error, time, ClockIsTrusted))],
                garden.Sites[0].Zone, time, log, Random.Shared);
            _dispatcher.Health.Changed += (_, _) => TellAlertPath();
        }

        var house = new HouseCheck(() => HouseCheck.FreeMb(garden.Store.Path), _dispatcher?.Health, latestStored);
        Parts = new LoopParts
        {
            Journal = _journal,
            Answers = _answers,
            Alerts = AlertWiring.Policy(garden),
            Outbox = new AlertOutbox(settings, alert => AlertWiring.Message(alert, words.Say(alert, zoneOf)), () => _dispatcher?.Wake(), options.OnAlert),
            ForecastTopic = garden.Forecast is { Source: "mqtt", Topic: { } topic } ? (topic, _map) : null,
            AnswerTopic = broker.BaseTopic + "/answer",
            Forecasts = _forecasts,
            LookAhead = outlook => GardenOutlook.Look(garden, outlook),
            LookAround = options.ClockFromReadings ? null : house.Look,
        };
    }

    /// <summary>What the loop works with.</summary>
    public LoopParts Parts { get; }

    /// <summary>Topics that the link subscribes to beside the sensors'.</summary>
    public IEnumerable<string> Topics => Parts.ForecastTopic is { } forecast ? [Parts.AnswerTopic!, forecast.Topic] : [Parts.AnswerTopic!];

    /// <summary>Readies everything; nothing runs yet. The store must be open already.</summary>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    /// <exception cref="ReceiverProblemException">A receiver or the forecast cannot be used as the garden file has it.</exception>
    /// <exception cref="WordsProblemException">The words of messages cannot be used.</exception>
    public static GardenServices Open(
        GardenFile garden, BrokerOptions broker, Func<MqttLink> link, DateTimeOffset latestStored, ServiceOptions options, TimeProvider time, ILogger log) =>
        new(garden, broker, link, latestStored, options, time, log);

    /// <summary>Runs until cancelled.</summary>
    /// <param name="ct">Asks it to stop.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        List<Task> running = [];
        if (_dispatcher is not null)
        {
            TellAlertPath();
            running.Add(_dispatcher.RunAsync(ct));
        }

        if (_garden.Alerts.Heartbeat is { } beat && Url(beat, "heartbeat") is { } url)
            running.Add(new Heartbeat(url, _garden.Alerts.HeartbeatEvery, Client(allowPrivate: true), () => true, _time, _log).RunAsync(ct));
        if (_garden.Forecast is { Source: "http" } http)
            running.Add(new ForecastPoller(new HttpClient(PublicAddress.Handler(http.AllowPrivate)), ForecastWiring.Source(http), _map, TakeAsync, _time, Random.Shared.NextDouble, _log).RunAsync(ct));
        if (_garden.Forecast is { Source: "file", Path: { } path } file)
            running.Add(ReadFileAsync(path, file.Every, ct));
        await Task.WhenAll(running.Select(GuardAsync)).ConfigureAwait(false);
    }

    private async Task GuardAsync(Task service)
    {
        try
        {
            await service.ConfigureAwait(false);
        }
#pragma warning disable CA1031 // a service beside the loop must not take the loop down with it
        catch (Exception failure)
#pragma warning restore CA1031
        {
            _log.Error(failure, "A service beside the loop has stopped: {Reason}. The garden is watched on; restart to try it again.", failure.Message);
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        foreach (var http in _http) http.Dispose();
        _outbox.Dispose();
        _answers.Dispose();
        _journal.Dispose();
    }

    /// <summary>A year before this program was written is a clock that was never set.</summary>
    private bool ClockIsTrusted() => _time.GetUtcNow().Year >= 2026;

    private HttpMessageInvoker Client(bool allowPrivate)
    {
        var http = AlertWiring.Http(allowPrivate);
        _http.Add(http);
        return http;
    }

    private Uri? Url(GardenValue value, string what)
    {
        if (value.TryResolve(out var text, out var reason) && Uri.TryCreate(text, UriKind.Absolute, out var url) && (url.Scheme is "http" or "https"))
            return url;
        _log.Warning("The {What} is not used: {Reason}.", what, reason ?? "its address does not begin with https:// or http://");
        return null;
    }

    private ValueTask TakeAsync(Weather.Forecast forecast, CancellationToken ct)
    {
        _forecasts.Put(forecast);
        return ValueTask.CompletedTask;
    }

    private async Task ReadFileAsync(string path, TimeSpan every, CancellationToken ct)
    {
        string? said = null;
        try
        {
            while (true)
            {
                var result = ForecastFile.Read(path, _map, _time.GetUtcNow());
                if (result.Forecast is { } forecast) _forecasts.Put(forecast);
                if (result.Reason is { } reason && reason != said) _log.Warning("{Reason}", reason);
                said = result.Reason;
                await Task.Delay(every, _time, ct).ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            // The usual end.
        }
    }

    /// <summary>Whether any alert gets out, retained, so that a dashboard or a watchdog sees what no alert can tell.</summary>
    private void TellAlertPath()
    {
        var health = _dispatcher!.Health;
        using var buffer = new MemoryStream();
        using (var json = new System.Text.Json.Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            json.WriteString("state", health.IsDead ? "dead" : "working");
            json.Moment("open_since", health.IsDead ? health.OpenSince : null);
            json.Moment("last_worked", health.LastWorkedAt);
            json.WriteEndObject();
        }

        _publish(new OutgoingMessage(_baseTopic + "/alert-path", buffer.ToArray()));
        if (health.IsDead) _log.Error("No alert has got out for {Hours} hours. Run 'alert test' to see why.", AlertPathHealth.Patience.TotalHours);
    }
}
