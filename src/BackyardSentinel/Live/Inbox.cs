using System.Threading.Channels;
using BackyardSentinel.Mqtt;

namespace BackyardSentinel.Live;

/// <summary>
/// Where messages wait for the loop, its only reader. It is bounded in messages and in bytes: whoever offers waits while it is full,
/// and so does the broker behind.
/// </summary>
/// <param name="capacity">So many messages may wait.</param>
/// <param name="time">The clock of the wakes.</param>
internal sealed class Inbox(int capacity, TimeProvider time)
{
    /// <summary>Bytes of messages that may wait; one that is larger by itself waits alone. A sensor's message has some hundred.</summary>
    public const long MostBytes = 16 * 1024 * 1024;

    private static readonly TimeSpan WakeEvery = TimeSpan.FromSeconds(1);

    // A null is a wake.
    private readonly Channel<ArrivedMessage?> _waiting = Channel.CreateBounded<ArrivedMessage?>(
        new BoundedChannelOptions(capacity) { SingleReader = true });

    // Tells a writer that found no room that there may be some now.
    private readonly Channel<bool> _room = Channel.CreateBounded<bool>(
        new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite });

    private long _bytes;

    /// <summary>Nothing waits.</summary>
    public bool IsEmpty => !_waiting.Reader.TryPeek(out _);

    /// <summary>Puts a message in; waits while it is full.</summary>
    public async ValueTask OfferAsync(ArrivedMessage message, CancellationToken ct)
    {
        while (Interlocked.Read(ref _bytes) is > 0 and var waiting && waiting + message.Payload.Length > MostBytes)
            await _room.Reader.ReadAsync(ct).ConfigureAwait(false);
        Interlocked.Add(ref _bytes, message.Payload.Length);
        await _waiting.Writer.WriteAsync(message, ct).ConfigureAwait(false);
    }

    /// <summary>Nothing more comes in; what waits is still read.</summary>
    public void Close() => _waiting.Writer.TryComplete();

    /// <summary>Wakes the reader once a second until disposed.</summary>
    public IDisposable Wake() => time.CreateTimer(_ => _waiting.Writer.TryWrite(null), null, WakeEvery, WakeEvery);

    /// <summary>Wakes the reader now; where it is full the reader is awake.</summary>
    public void WakeNow() => _waiting.Writer.TryWrite(null);

    /// <summary>Waits until something can be read; <c>false</c> when it is closed and empty.</summary>
    public ValueTask<bool> WaitAsync(CancellationToken ct) => _waiting.Reader.WaitToReadAsync(ct);

    /// <summary>Takes what waits longest.</summary>
    /// <param name="message">A message; <c>null</c>: a wake.</param>
    public bool TryTake(out ArrivedMessage? message)
    {
        if (!_waiting.Reader.TryRead(out message))
            return false;
        if (message is not null)
        {
            Interlocked.Add(ref _bytes, -message.Payload.Length);
            _room.Writer.TryWrite(true);
        }

        return true;
    }
}
