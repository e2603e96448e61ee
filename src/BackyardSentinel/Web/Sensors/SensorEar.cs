using BackyardSentinel.Configuration;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Proposing;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web.Sensors;

/// <summary>Hears all topics of the broker for a time, beside the service.</summary>
/// <param name="heard">Is given each message: topic, payload, whether it is the broker's kept copy.</param>
/// <param name="length">How long.</param>
/// <param name="end">Ends it sooner.</param>
/// <returns>What the broker does not let this user read, a sentence each.</returns>
/// <exception cref="LinkException">The broker cannot be reached; the message says why.</exception>
public delegate Task<IReadOnlyList<Sentence>> HearBroker(
    Action<string, ReadOnlyMemory<byte>, bool> heard, TimeSpan length, CancellationToken end);

/// <summary>What was heard so far.</summary>
/// <param name="Began">When listening began, UTC.</param>
/// <param name="Ends">When it ends, or ended, UTC.</param>
/// <param name="IsRunning">It goes on.</param>
/// <param name="IsFull">It ended sooner, as more came than is kept.</param>
/// <param name="Trouble">What the broker says against it, a sentence each.</param>
/// <param name="Result">What was heard, sorted.</param>
internal sealed record HeardSoFar(
    DateTimeOffset Began, DateTimeOffset Ends, bool IsRunning, bool IsFull, IReadOnlyList<Sentence> Trouble, ListenResult Result);

/// <summary>
/// Listens for the page when somebody asks: once at a time, for a minute, and forgets it ten minutes later. It takes nothing from
/// the service, and a flood ends it.
/// </summary>
/// <param name="garden">The garden, whose series are read already.</param>
/// <param name="hear">Hears.</param>
/// <param name="time">The clock.</param>
internal sealed class SensorEar(GardenFile garden, HearBroker hear, TimeProvider time) : IDisposable
{
    /// <summary>How long is listened.</summary>
    public static readonly TimeSpan Length = TimeSpan.FromMinutes(1);

    /// <summary>So many bytes of topics and payloads are heard; a garden's sensors send some thousand in a minute.</summary>
    public const int MostBytes = 4 * 1024 * 1024;

    private static readonly TimeSpan Kept = TimeSpan.FromMinutes(10);

    private readonly Lock _gate = new();
    private HeardMessages? _hearing;
    private CancellationTokenSource? _end;
    private ITimer? _forget;
    private DateTimeOffset _began, _ends;
    private bool _running, _full;
    private long _bytes;
    private IReadOnlyList<Sentence> _trouble = [];

    /// <summary>Begins to listen, unless it does already.</summary>
    public void Listen()
    {
        lock (_gate)
        {
            if (_running)
                return;
            var hearing = new HeardMessages(new OwnTopics(garden.Broker, garden.Sites));
            _end?.Dispose();
            _forget?.Dispose();
            _end = new CancellationTokenSource();
            (_hearing, _running, _full, _bytes, _trouble) = (hearing, true, false, 0, []);
            (_began, _ends) = (time.GetUtcNow(), time.GetUtcNow() + Length);
            _forget = null;
            var end = _end.Token;
            _ = Task.Run(() => HearAsync(hearing, end), CancellationToken.None);
        }
    }

    /// <summary>What was heard so far; <c>null</c>: nobody asked, or it was forgotten.</summary>
    public HeardSoFar? Now()
    {
        lock (_gate)
            return _hearing is { } hearing
                ? new HeardSoFar(_began, _ends, _running, _full, _trouble, ListenResult.Of(garden, hearing, "", Length))
                : null;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        lock (_gate)
        {
            _end?.Cancel();
            _end?.Dispose();
            _forget?.Dispose();
        }
    }

    private async Task HearAsync(HeardMessages hearing, CancellationToken end)
    {
        IReadOnlyList<Sentence> trouble = [];
        try
        {
            trouble = await hear((topic, payload, retained) => Take(hearing, topic, payload, retained), Length, end).ConfigureAwait(false);
        }
        catch (LinkException away)
        {
            trouble = [away.Says];
        }
        finally
        {
            // However it ended, one may ask again.
            lock (_gate)
            {
                (_running, _trouble, _ends) = (false, trouble, time.GetUtcNow());
                _forget = time.CreateTimer(_ => Forget(hearing), null, Kept, Timeout.InfiniteTimeSpan);
            }
        }
    }

    private void Take(HeardMessages hearing, string topic, ReadOnlyMemory<byte> payload, bool retained)
    {
        lock (_gate)
        {
            _bytes += payload.Length + (2 * topic.Length);
            if (_bytes > MostBytes)
            {
                _full = true;
                _end?.Cancel();
                return;
            }

            hearing.Take(topic, payload, retained, time.GetUtcNow());
        }
    }

    private void Forget(HeardMessages hearing)
    {
        lock (_gate)
        {
            if (_hearing == hearing)
                _hearing = null;
        }
    }
}
