using BackyardSentinel.Weather;

namespace BackyardSentinel.Alerting;

/// <summary>Hours of each local night in which messages wait. Half-open: the end is not quiet any more.</summary>
public sealed record QuietHours
{
    /// <summary>
    /// Quiet from <paramref name="from"/> to <paramref name="to"/>, over midnight where <paramref name="to"/> is earlier.
    /// </summary>
    /// <exception cref="ArgumentException">Both are equal, which could mean no hour or all of them.</exception>
    public QuietHours(TimeOnly from, TimeOnly to)
    {
        if (from == to)
            throw new ArgumentException(
                "Quiet hours that end when they begin could mean no hour or all of them; set two different times.",
                nameof(to));
        (From, To) = (from, to);
    }

    /// <summary>First quiet moment by the local clock.</summary>
    public TimeOnly From { get; }

    /// <summary>First moment by the local clock that is not quiet any more.</summary>
    public TimeOnly To { get; }

    /// <summary>When the quiet hours that run at <paramref name="at"/> end, UTC; <c>null</c> when none run.</summary>
    public DateTimeOffset? EndAt(DateTimeOffset at, TimeZoneInfo zone)
    {
        var today = LocalDay.Of(at, zone);
        DateTimeOffset? end = null;
        for (var day = today.AddDays(-1); day <= today; day = day.AddDays(1))
        {
            var from = LocalClock.First(day, From, zone);
            var to = EndOn(From < To ? day : day.AddDays(1), zone);
            if (at >= from && at < to)
                end = end > to ? end : to;
        }

        return end;
    }

    /// <summary>When the quiet hours that end on a local day end, UTC.</summary>
    public DateTimeOffset EndOn(DateOnly day, TimeZoneInfo zone) => LocalClock.Last(day, To, zone);
}
