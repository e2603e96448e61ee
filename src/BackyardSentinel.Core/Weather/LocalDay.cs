namespace BackyardSentinel.Weather;

/// <summary>Local calendar days as spans of real time: 23, 24 or 25 hours long.</summary>
public static class LocalDay
{
    /// <summary>The calendar day of a moment in the zone.</summary>
    public static DateOnly Of(DateTimeOffset at, TimeZoneInfo zone) => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, zone).DateTime);

    /// <summary>The first moment at which the zone's calendar shows the day, UTC.</summary>
    public static DateTimeOffset StartOf(DateOnly day, TimeZoneInfo zone) =>
        EndOf(
            new DateTimeOffset(day.AddDays(-1).ToDateTime(new TimeOnly(12, 0)), TimeSpan.Zero)
                - zone.GetUtcOffset(day.AddDays(-1).ToDateTime(new TimeOnly(12, 0))),
            zone);

    /// <summary>The first moment after <paramref name="at"/> at which the zone's calendar shows the next day, UTC.</summary>
    public static DateTimeOffset EndOf(DateTimeOffset at, TimeZoneInfo zone)
    {
        // Where clocks go back over midnight it comes twice; the first one ends the day.
        var end = LocalClock.First(Of(at, zone).AddDays(1), TimeOnly.MinValue, zone);
        return end > at ? end : end.AddHours(1);
    }
}
