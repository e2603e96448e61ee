namespace BackyardSentinel.Live;

/// <summary>Spans of time in the log's words.</summary>
internal static class Spans
{
    /// <summary>As exact as it matters: minutes below three hours, hours below two days, then days.</summary>
    /// <param name="span">The span, which may be negative.</param>
    public static string Words(TimeSpan span) => span.Duration().TotalHours switch
    {
        >= 48 => FormattableString.Invariant($"{span.TotalDays:0} days"),
        >= 3 => FormattableString.Invariant($"{span.TotalHours:0} hours"),
        _ => FormattableString.Invariant($"{span.TotalMinutes:0} minutes"),
    };
}
