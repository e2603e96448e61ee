using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;

namespace BackyardSentinel.Delivery;

/// <summary>A receiver that answers as it is told and keeps what it was sent.</summary>
internal sealed class ScriptedReceiver(string name, TimeProvider time) : IAlertReceiver
{
    public static readonly DeliveryResult Taken = new DeliveryResult.Delivered("answered 200");
    public static readonly DeliveryResult Down = new DeliveryResult.RetryLater("It is down.");

    public string Name => name;

    public string Fingerprint { get; set; } = "one";

    public bool IsAnswered { get; init; } = true;

    public Func<AlertMessage, CancellationToken, DeliveryResult> Answer { get; set; } = (_, _) => Taken;

    /// <summary>Every attempt: when, what, and what came of it.</summary>
    public List<(DateTimeOffset At, AlertMessage Message, DeliveryResult Result)> Attempts { get; } = [];

    public IEnumerable<AlertMessage> Got =>
        Attempts.Where(attempt => attempt.Result is DeliveryResult.Delivered).Select(attempt => attempt.Message);

    public Task<DeliveryResult> SendAsync(AlertMessage message, CancellationToken ct)
    {
        var result = Answer(message, ct);
        Attempts.Add((time.GetUtcNow(), message, result));
        return Task.FromResult(result);
    }
}

/// <summary>A store, an outbox and a dispatcher in virtual time.</summary>
internal sealed class OutboxBench : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-delivery").FullName;
    private readonly SentinelStore _store;
    private readonly IAlertReceiver[] _receivers;

    public OutboxBench(FakeTimeProvider time, params IAlertReceiver[] receivers)
    {
        (Time, _receivers) = (time, receivers);
        _store = SentinelStore.Open(File);
        Outbox = OutboxStore.Open(File);
        Dispatcher = Start(receivers);
    }

    public string File => Path.Combine(_folder, "garden.db");

    public FakeTimeProvider Time { get; }

    public LogLines Said { get; } = new();

    public OutboxStore Outbox { get; private set; }

    public OutboxDispatcher Dispatcher { get; private set; }

    /// <summary>The service starts anew on the same file, as after a kill.</summary>
    public void Restart() => Restart(_receivers);

    /// <summary>The same with another garden file.</summary>
    public void Restart(params IAlertReceiver[] receivers)
    {
        Outbox.Dispose();
        Outbox = OutboxStore.Open(File);
        Dispatcher = Start(receivers);
    }

    public AlertMessage Post(string id, string? episode = null)
    {
        var alert = Some.Alert(id, episode ?? id, Time.GetUtcNow());
        Post(alert);
        return alert;
    }

    public void Post(AlertMessage alert)
    {
        var batch = new StoreBatch();
        foreach (var receiver in _receivers) batch.Outbox.Add(OutboxDispatcher.Row(alert, new ReceiverSettings { Id = receiver.Name }));
        _store.Commit(batch);
    }

    public async Task Pass(TimeSpan span, TimeSpan step, CancellationToken ct)
    {
        for (var passed = TimeSpan.Zero; passed < span; passed += step)
        {
            await Dispatcher.SettleAsync(ct);
            Time.Advance(step);
        }

        await Dispatcher.SettleAsync(ct);
    }

    /// <summary>How a message stands at each receiver, in the order of their names.</summary>
    public IReadOnlyList<OutboxState> States(string id) => [.. Outbox.RowsOf(id).OrderBy(row => row.Receiver).Select(row => row.State)];

    public OutboxState State(string id) => Outbox.Rows().Single(row => row.Id == id).State;

    public void Dispose()
    {
        Said.Dispose();
        Outbox.Dispose();
        _store.Dispose();
        Directory.Delete(_folder, true);
    }

    private OutboxDispatcher Start(IAlertReceiver[] receivers) =>
        new(Outbox, receivers, new AlertPolicyOptions(), Time, Said.Logger, new Random(7));
}
