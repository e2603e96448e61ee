using System.Net;

namespace BackyardSentinel.Web.Access;

/// <summary>
/// Counts wrong keys by address: five a minute, and then that address waits. The same key again is no new guess: a browser left open
/// asks on with a key that was renewed.
/// </summary>
/// <param name="time">The clock.</param>
internal sealed class WrongKeys(TimeProvider time)
{
    /// <summary>So many wrong keys may come from one address in a minute.</summary>
    public const int Most = 5;

    private const int MostAddresses = 1000;
    private static readonly TimeSpan Span = TimeSpan.FromMinutes(1);
    private readonly Dictionary<IPAddress, Queue<(DateTimeOffset At, int Key)>> _tries = [];
    private readonly Lock _gate = new();

    /// <summary>This address has to wait.</summary>
    public bool IsTooOften(IPAddress from)
    {
        lock (_gate)
            return Recent(from) is { Count: >= Most };
    }

    /// <summary>A wrong key came from there.</summary>
    public void Note(IPAddress from, string key)
    {
        lock (_gate)
        {
            var tries = Recent(from) ?? [];
            var guess = key.GetHashCode(StringComparison.Ordinal);
            if (tries.Any(one => one.Key == guess))
                return;
            tries.Enqueue((time.GetUtcNow(), guess));
            // Whoever has a thousand addresses would fill the memory; then all begin anew, still five a minute each.
            if (_tries.Count >= MostAddresses)
                _tries.Clear();
            _tries[from] = tries;
        }
    }

    private Queue<(DateTimeOffset At, int Key)>? Recent(IPAddress from)
    {
        if (!_tries.TryGetValue(from, out var tries))
            return null;
        while (tries.TryPeek(out var oldest) && time.GetUtcNow() - oldest.At > Span)
            tries.Dequeue();
        return tries;
    }
}
