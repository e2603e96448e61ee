using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Events;

/// <summary>What a series says cannot be right: from now on it is not used.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it became known, UTC.</param>
/// <param name="Doubt">What was seen.</param>
public sealed record ReadingsDoubted(string Site, DateTimeOffset At, SeriesDoubt Doubt) : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key => $"{Site}/{Doubt.Quantity.Word()}-{Doubt.Rank}/doubted-{Doubt.Word}/{Stamp(Doubt.Since)}";
}

/// <summary>A series that was doubted says again what can be right: it is used again.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it became known, UTC.</param>
/// <param name="Doubt">What was seen.</param>
public sealed record ReadingsTrusted(string Site, DateTimeOffset At, SeriesDoubt Doubt) : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key => $"{Site}/{Doubt.Quantity.Word()}-{Doubt.Rank}/trusted-{Doubt.Word}/{Stamp(Doubt.Since)}";
}
