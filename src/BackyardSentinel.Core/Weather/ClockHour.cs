namespace BackyardSentinel.Weather;

/// <summary>Whole hours of the UTC clock, as forecasts and sums of chill and warmth count them.</summary>
public static class ClockHour
{
    /// <summary>The beginning of the hour in which a moment lies, UTC.</summary>
    public static DateTimeOffset Of(DateTimeOffset at) => new(at.UtcTicks - (at.UtcTicks % TimeSpan.TicksPerHour), TimeSpan.Zero);
}
