namespace BackyardSentinel.Mqtt;

/// <summary>A message taken from the broker and not yet acknowledged.</summary>
/// <param name="topic">Its topic.</param>
/// <param name="payload">Its bytes; owned by the message.</param>
/// <param name="retained">It is the broker's stored copy.</param>
/// <param name="redelivered">The broker has sent it before.</param>
/// <param name="acknowledge">Tells the broker that it is safe; <c>null</c> when nobody waits for that.</param>
/// <param name="delivery">How it was delivered; <c>null</c> when it did not come from a broker.</param>
public sealed class ArrivedMessage(
    string topic,
    ReadOnlyMemory<byte> payload,
    bool retained = false,
    bool redelivered = false,
    Func<CancellationToken, Task>? acknowledge = null,
    BrokerDelivery? delivery = null)
{
    private readonly Lock _gate = new();
    private Func<CancellationToken, Task>? _acknowledge = acknowledge;
    private bool _isSafe;

    /// <summary>Its topic.</summary>
    public string Topic { get; } = topic;

    /// <summary>Its bytes.</summary>
    public ReadOnlyMemory<byte> Payload { get; } = payload;

    /// <summary>It is the broker's stored copy.</summary>
    public bool Retained { get; } = retained;

    /// <summary>The broker has sent it before.</summary>
    public bool Redelivered { get; } = redelivered;

    /// <summary>How it was delivered; <c>null</c> when it did not come from a broker.</summary>
    public BrokerDelivery? Delivery { get; } = delivery;

    /// <summary>What it gave is committed: acknowledges it. Does not throw when the link is down; the broker then sends it again.</summary>
    /// <param name="ct">Gives up.</param>
    public Task AcknowledgeAsync(CancellationToken ct)
    {
        Func<CancellationToken, Task>? acknowledge;
        lock (_gate)
        {
            _isSafe = true;
            acknowledge = _acknowledge;
        }

        return acknowledge?.Invoke(ct) ?? Task.CompletedTask;
    }

    /// <summary>
    /// The broker has sent a copy over a new connection: from now on that copy is acknowledged in place of this one.
    /// Answers whether this one is safe already, so that the copy can be acknowledged at once.
    /// </summary>
    internal bool Rebind(Func<CancellationToken, Task> acknowledge)
    {
        lock (_gate)
        {
            _acknowledge = acknowledge;
            return _isSafe;
        }
    }
}
