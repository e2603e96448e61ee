namespace BackyardSentinel.Weather;

/// <summary>
/// Times of a local clock as moments. A time that the clock skips is the moment of the skip; of a time that comes twice
/// the caller takes the first or the last, so that a span runs once through the whole of such a night.
/// </summary>
internal static class LocalClock
{
    /// <summary>The first moment at which the zone's clock shows this time on this day, UTC.</summary>
    public static DateTimeOffset First(DateOnly day, TimeOnly time, TimeZoneInfo zone) => Resolve(day, time, zone, last: false);

    /// <summary>The last such moment, UTC.</summary>
    public static DateTimeOffset Last(DateOnly day, TimeOnly time, TimeZoneInfo zone) => Resolve(day, time, zone, last: true);

    private static DateTimeOffset Resolve(DateOnly day, TimeOnly time, TimeZoneInfo zone, bool last)
    {
        var local = day.ToDateTime(time);
        while (zone.IsInvalidTime(local))
            local = local.AddMinutes(1);
        if (!zone.IsAmbiguousTime(local))
            return new DateTimeOffset(local, zone.GetUtcOffset(local)).ToUniversalTime();
        // The larger offset comes first: the same clock time is earlier by it.
        var offsets = zone.GetAmbiguousTimeOffsets(local);
        return new DateTimeOffset(local, last ? offsets.Min() : offsets.Max()).ToUniversalTime();
    }
}
