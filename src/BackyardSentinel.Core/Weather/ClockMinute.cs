namespace BackyardSentinel.Weather;

/// <summary>Whole minutes of the UTC clock: the steps in which time passes.</summary>
public static class ClockMinute
{
    /// <summary>The beginning of the minute in which a moment lies, UTC.</summary>
    public static DateTimeOffset Of(DateTimeOffset at) => new(at.UtcTicks - (at.UtcTicks % TimeSpan.TicksPerMinute), TimeSpan.Zero);
}
