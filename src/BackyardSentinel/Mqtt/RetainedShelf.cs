using System.Threading.Channels;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// The newest message of each retained topic we publish, and which of them the broker has yet to get. A newer message
/// replaces one that waits, so a slow link never falls behind.
/// </summary>
internal sealed class RetainedShelf
{
    private readonly Lock _gate = new();
    private readonly Dictionary<string, OutgoingMessage> _newest = new(StringComparer.Ordinal);
    private readonly HashSet<string> _waiting = new(StringComparer.Ordinal);
    private readonly Channel<bool> _signal = Channel.CreateBounded<bool>(
        new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite });

    public void Put(OutgoingMessage message)
    {
        lock (_gate)
        {
            _newest[message.Topic] = message;
            _waiting.Add(message.Topic);
        }

        Signal();
    }

    /// <summary>The broker may have forgotten everything: all topics wait again.</summary>
    public void AllWait()
    {
        lock (_gate) _waiting.UnionWith(_newest.Keys);
        Signal();
    }

    public List<OutgoingMessage> TakeWaiting()
    {
        lock (_gate)
        {
            List<OutgoingMessage> taken = [.. _waiting.Select(topic => _newest[topic])];
            _waiting.Clear();
            return taken;
        }
    }

    public void WaitAgain(IEnumerable<OutgoingMessage> unsent)
    {
        lock (_gate) _waiting.UnionWith(unsent.Select(message => message.Topic));
    }

    public void Signal() => _signal.Writer.TryWrite(true);

    public ValueTask<bool> SignalAsync(CancellationToken ct) => _signal.Reader.ReadAsync(ct);
}
