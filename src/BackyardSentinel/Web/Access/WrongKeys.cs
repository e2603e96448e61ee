using System.Net;

namespace BackyardSentinel.Web.Access;

/// <summary>Counts wrong keys by address: five a minute, and then that address waits.</summary>
/// <param name="time">The clock.</param>
internal sealed class WrongKeys(TimeProvider time)
{
    /// <summary>So many wrong keys may come from one address in a minute.</summary>
    public const int Most = 5;

    private const int MostAddresses = 1000;
    private static readonly TimeSpan Span = TimeSpan.FromMinutes(1);
    private readonly Dictionary<IPAddress, Queue<DateTimeOffset>> _tries = [];
    private readonly Lock _gate = new();

    /// <summary>This address has to wait.</summary>
    public bool IsTooOften(IPAddress from)
    {
        lock (_gate)
            return Recent(from) is { Count: >= Most };
    }

    /// <summary>A wrong key came from there.</summary>
    public void Note(IPAddress from)
    {
        lock (_gate)
        {
            var tries = Recent(from) ?? [];
            tries.Enqueue(time.GetUtcNow());
            // Whoever has a thousand addresses would fill the memory; then all begin anew, still five a minute each.
            if (_tries.Count >= MostAddresses)
                _tries.Clear();
            _tries[from] = tries;
        }
    }

    private Queue<DateTimeOffset>? Recent(IPAddress from)
    {
        if (!_tries.TryGetValue(from, out var tries))
            return null;
        while (tries.TryPeek(out var oldest) && time.GetUtcNow() - oldest > Span)
            tries.Dequeue();
        return tries;
    }
}
