namespace BackyardSentinel.Mqtt;

/// <summary>
/// Messages the broker may send again: handed on, but not acknowledged when their connection broke. A copy that comes
/// over the next connection is the same message and must not be counted twice, so it only takes over the acknowledgement.
/// </summary>
public sealed class InDoubt
{
    private readonly Lock _gate = new();
    private readonly HashSet<ArrivedMessage> _unacknowledged = [];
    private readonly List<ArrivedMessage> _ofLostConnections = [];

    /// <summary>A message was handed on.</summary>
    public void Add(ArrivedMessage message)
    {
        lock (_gate) _unacknowledged.Add(message);
    }

    /// <summary>A message was acknowledged.</summary>
    public void Remove(ArrivedMessage message)
    {
        lock (_gate) _unacknowledged.Remove(message);
    }

    /// <summary>All that came over this connection is acknowledged.</summary>
    public bool IsClear
    {
        get
        {
            lock (_gate) return _unacknowledged.Count == 0;
        }
    }

    /// <summary>The connection broke: what it has not acknowledged may come again over the next.</summary>
    public void ConnectionLost()
    {
        lock (_gate)
        {
            _ofLostConnections.AddRange(_unacknowledged);
            _unacknowledged.Clear();
        }
    }

    /// <summary>The broker has forgotten our session, so it sends none of them again.</summary>
    public void SessionForgotten()
    {
        lock (_gate) _ofLostConnections.Clear();
    }

    /// <summary>Finds the message that this is a copy of, and puts it among those of the current connection.</summary>
    public ArrivedMessage? TakeOriginal(string topic, ReadOnlySpan<byte> payload)
    {
        lock (_gate)
        {
            for (var i = 0; i < _ofLostConnections.Count; i++)
            {
                var candidate = _ofLostConnections[i];
                if (candidate.Topic != topic || !candidate.Payload.Span.SequenceEqual(payload)) continue;
                _ofLostConnections.RemoveAt(i);
                _unacknowledged.Add(candidate);
                return candidate;
            }
        }

        return null;
    }
}
