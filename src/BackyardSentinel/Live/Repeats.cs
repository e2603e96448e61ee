using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Live;

/// <summary>
/// Knows messages that the broker delivers again although they are safe already. After a crash of ours it sends what was not
/// acknowledged with a mark (DUP), in the order in which it came first (MQTT 5, 4.6). It was made safe in that order, too, so what
/// is safe of it comes before what is not: behind a new one an equal number and text are chance.
/// </summary>
/// <remarks>
/// A broker that lost power goes back to the queue it had saved last and sends all of it
/// again without any mark; such a queue keeps its packet identifiers. So a run of messages that waited when the connection began
/// is a repetition for as long as it equals, one by one and in order, a run that had waited before. Messages that only look
/// alike have identifiers of their own. Used by the loop's thread only.
/// </remarks>
internal sealed class Repeats
{
    private readonly Dictionary<(int PacketId, long Digest), StoredDelivery> _known = [];
    private readonly Queue<StoredDelivery> _inOrder = [];
    private long _last;
    private int _connection;
    // The number of the delivery expected next while the broker repeats its queue; 0: it no longer does, null: it has not begun.
    private long? _next;
    private bool _safeAreOver;

    /// <summary>Begins with what is stored.</summary>
    /// <param name="known">The messages delivered last, in the order of arrival.</param>
    public Repeats(IEnumerable<StoredDelivery> known)
    {
        foreach (var one in known) Learn(one);
    }

    /// <summary>Looks at the next message.</summary>
    /// <param name="message">The message.</param>
    /// <param name="batch">Takes down what it is known by, if it is new.</param>
    /// <returns>Whether it was delivered before, and what it gave is safe.</returns>
    public bool IsRepeat(ArrivedMessage message, StoreBatch batch)
    {
        if (message.Delivery is not { } delivery) return false;
        if (delivery.Connection != _connection)
        {
            (_connection, _next, _safeAreOver) = (delivery.Connection, null, false);
            if (!delivery.SessionGoesOn) Forget(batch);
        }

        if (delivery.PacketId == 0) return false;
        var digest = Digest(message);
        if (_known.TryGetValue((delivery.PacketId, digest), out var known))
        {
            if (message.Redelivered)
            {
                if (!_safeAreOver) return true;
            }
            else if (delivery.Waited && known.Waited && (_next ?? known.Number) == known.Number)
            {
                _next = known.Number + 1;
                return true;
            }
        }

        if (message.Redelivered) _safeAreOver = true;
        else _next = 0;
        var fresh = new StoredDelivery(_last + 1, delivery.PacketId, digest, delivery.Waited);
        Learn(fresh);
        batch.Deliveries.Add(fresh);
        return false;
    }

    private void Learn(StoredDelivery one)
    {
        _last = one.Number;
        _inOrder.Enqueue(one);
        _known[(one.PacketId, one.Digest)] = one;
        if (_inOrder.Count <= StoreWriter.DeliveryRows) return;
        var oldest = _inOrder.Dequeue();
        if (_known.GetValueOrDefault((oldest.PacketId, oldest.Digest)) == oldest) _known.Remove((oldest.PacketId, oldest.Digest));
    }

    /// <summary>A new session counts its packets anew.</summary>
    private void Forget(StoreBatch batch)
    {
        _inOrder.Clear();
        _known.Clear();
        batch.Deliveries.Clear();
        batch.ForgetDeliveries = true;
    }

    private static long Digest(ArrivedMessage message)
    {
        // The byte between belongs to no topic (MQTT 5, 1.5.4).
        byte[] text = [.. Encoding.UTF8.GetBytes(message.Topic), 0, .. message.Payload.Span];
        Span<byte> hash = stackalloc byte[SHA256.HashSizeInBytes];
        SHA256.HashData(text, hash);
        return BinaryPrimitives.ReadInt64LittleEndian(hash);
    }
}
