using BackyardSentinel.Wording;

namespace BackyardSentinel.Weather;

/// <summary>A weather forecast for the garden, by the hour. It never lowers what was observed.</summary>
/// <param name="Source">Where it came from, for people.</param>
/// <param name="Issued">When it was made, or, where the source does not say, when it was fetched, UTC.</param>
/// <param name="Hours">Its hours in rising order, without repeats; hours may be missing.</param>
/// <param name="Attribution">The credit line that the source asks for.</param>
/// <param name="Licence">The licence that the source names.</param>
public sealed record Forecast(
    string Source, DateTimeOffset Issued, IReadOnlyList<ForecastHour> Hours, string? Attribution = null, string? Licence = null)
{
    /// <summary>A forecast older than this is not used.</summary>
    public static TimeSpan LongestUse => TimeSpan.FromHours(12);

    /// <summary>A source's clock may run ahead of ours by this much.</summary>
    public static TimeSpan LargestLead => TimeSpan.FromMinutes(10);

    /// <summary>End of the last hour; the time of issue when there is none.</summary>
    public DateTimeOffset Until => Hours.Count == 0 ? Issued : Hours[^1].Start.AddHours(1);

    /// <summary>The forecast as a sentence begins with it; <c>forecast</c> is what a source without a name is called.</summary>
    public Sentence Subject => Source is "" or "forecast" ? (Sentence)$"The forecast" : $"The forecast of {new Name(Source)}";

    /// <summary>The forecast is too old to be used at this time.</summary>
    public bool IsStale(DateTimeOffset now) => now - Issued > LongestUse;

    /// <summary>The forecast was made after this time, so it cannot be meant for it.</summary>
    public bool IsAhead(DateTimeOffset now) => Issued - now > LargestLead;
}
