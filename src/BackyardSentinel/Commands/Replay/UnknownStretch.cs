using BackyardSentinel.Events;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Commands.Replay;

/// <summary>A time in which a planting's level was not known.</summary>
/// <param name="Planting">Its id.</param>
/// <param name="From">Its start, UTC.</param>
/// <param name="To">Its end, UTC.</param>
public sealed record UnknownStretch(string Planting, DateTimeOffset From, DateTimeOffset To)
{
    /// <summary>Finds them all, planting by planting.</summary>
    /// <param name="changes">Every change of level, by time.</param>
    /// <param name="end">Until when anything was judged, UTC; <c>null</c>: nothing was.</param>
    public static IReadOnlyList<UnknownStretch> Of(IEnumerable<LevelChanged> changes, DateTimeOffset? end)
    {
        var found = new List<UnknownStretch>();
        foreach (var planting in changes.GroupBy(change => change.Planting))
        {
            DateTimeOffset? since = null;
            foreach (var change in planting)
            {
                if (change.To == Level.Unknown)
                    since ??= change.Since;
                else if (since is { } from)
                {
                    found.Add(new UnknownStretch(planting.Key, from, change.At));
                    since = null;
                }
            }

            if (since is { } open && end is { } last)
                found.Add(new UnknownStretch(planting.Key, open, last));
        }

        return found;
    }
}
