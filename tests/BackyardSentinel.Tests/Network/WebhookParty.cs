using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;

namespace BackyardSentinel.Network;

/// <summary>A destination of alerts.</summary>
internal sealed class WebhookParty : LineParty
{
    private readonly string _folder = Directory.CreateTempSubdirectory("bad-line").FullName;
    private readonly CancellationTokenSource _stop = new();
    private readonly HttpPeer _peer;
    private readonly HttpMessageInvoker _http;
    private readonly SentinelStore _store;
    private readonly OutboxStore _outbox;
    private readonly OutboxDispatcher _dispatcher;
    private readonly ReceiverSettings _settings;
    private readonly CellTime _time;
    private Task _running = Task.CompletedTask;
    private int _sent;

    public WebhookParty(HttpPeer peer, Uri url, BusyHandler http, CellTime time)
    {
        (_peer, _http, _time) = (peer, new HttpMessageInvoker(http), time);
        time.IsBusy = () => http.IsBusy;
        var file = Path.Combine(_folder, "garden.db");
        _store = SentinelStore.Open(file);
        _outbox = OutboxStore.Open(file);
        _settings = new ReceiverSettings { Id = "phone", Url = url.AbsoluteUri, Secret = Some.Secret };
        Assert.True(WebhookReceiver.TryCreate(_settings, _http, time.Time, () => true, out var receiver, out var reason), reason);
        _dispatcher = new OutboxDispatcher(_outbox, [receiver!], new AlertPolicyOptions(), time.Time, Log.Logger, new Random(7));
    }

    public override string WellAgain => "works again";

    public override bool IsRight =>
        Enumerable.Range(1, _sent).All(number => Got.Contains($"alert-{number}"))
        && _dispatcher.Health.Problems.Count == 0
        && _outbox.Rows().All(row => row.State == OutboxState.Delivered);

    public override int Repeated => Got.Count() - Got.Distinct().Count();

    private IEnumerable<string> Got => _peer.Requests.Where(one => one.Method == "POST").Select(one => one.Headers["webhook-id"]);

    public override Task StartAsync()
    {
        _running = _dispatcher.RunAsync(_stop.Token);
        return Task.CompletedTask;
    }

    /// <summary>Three at first: later ones would be tried at once, and bring the others with them.</summary>
    public override Task SendAsync(int number)
    {
        if (number > 3)
            return Task.CompletedTask;
        _sent = number;
        var batch = new StoreBatch();
        batch.Outbox.Add(OutboxDispatcher.Row(Some.Alert($"alert-{number}", $"episode-{number}", _time.Time.GetUtcNow()), _settings));
        _store.Commit(batch);
        _dispatcher.Wake();
        return Task.CompletedTask;
    }

    public override async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _http.Dispose();
        _outbox.Dispose();
        _store.Dispose();
        _stop.Dispose();
        await _peer.DisposeAsync();
        Directory.Delete(_folder, true);
        await base.DisposeAsync();
    }
}
