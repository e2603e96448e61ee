namespace BackyardSentinel.Weather;

/// <summary>
/// Times of a local clock as moments. A time that the clock skips is the moment of the skip; of a time that comes twice
/// the caller takes the first or the last, so that a span runs once through the whole of such a night.
/// </summary>
public static class LocalClock
{
    /// <summary>Longer than any zone is from UTC, and shorter than the time between two of its changes.</summary>
    private static readonly TimeSpan Aside = TimeSpan.FromHours(24);

    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    /// <summary>
    /// The moments at which a zone's clock shows a time, UTC: two where it comes twice, else the same twice; <c>null</c> where the clocks
    /// leave it out.
    /// </summary>
    /// <remarks>
    /// Found from the offsets before and after. <see cref="TimeZoneInfo.IsAmbiguousTime(DateTime)"/> does not know the hour that comes
    /// twice where winter is the time that differs (Ireland, Morocco), nor where a zone's own time was changed.
    /// </remarks>
    /// <param name="local">What the clock shows, from the year 2 to 9998.</param>
    /// <param name="zone">The zone.</param>
    public static (DateTimeOffset First, DateTimeOffset Last)? Moments(DateTime local, TimeZoneInfo zone)
    {
        ArgumentNullException.ThrowIfNull(zone);
        var asUtc = DateTime.SpecifyKind(local, DateTimeKind.Utc);
        TimeSpan before = zone.GetUtcOffset(asUtc - Aside), after = zone.GetUtcOffset(asUtc + Aside);
        DateTime early = asUtc - before, late = asUtc - after;
        if (before != after)
        {
            var (isEarly, isLate) = (zone.GetUtcOffset(early) == before, zone.GetUtcOffset(late) == after);
            if (!isEarly && !isLate)
                return null;
            (early, late) = (isEarly ? early : late, isLate ? late : early);
        }

        return (new DateTimeOffset(early), new DateTimeOffset(late));
    }

    /// <summary>The first moment at which the zone's clock shows this time on this day, UTC.</summary>
    public static DateTimeOffset First(DateOnly day, TimeOnly time, TimeZoneInfo zone) => Shown(day, time, zone, Minute).First;

    /// <summary>The last such moment, UTC.</summary>
    public static DateTimeOffset Last(DateOnly day, TimeOnly time, TimeZoneInfo zone) => Shown(day, time, zone, Minute).Last;

    /// <summary>The moments of this time, or of the next one in such steps that the clocks do not leave out.</summary>
    internal static (DateTimeOffset First, DateTimeOffset Last) Shown(DateOnly day, TimeOnly time, TimeZoneInfo zone, TimeSpan step)
    {
        for (var local = day.ToDateTime(time); ; local += step)
        {
            if (Moments(local, zone) is { } moments)
                return moments;
        }
    }
}
