using BackyardSentinel.Weather;

namespace BackyardSentinel.Web.Drawing;

/// <summary>Where moments stand in a drawing.</summary>
/// <param name="From">Its left edge, UTC.</param>
/// <param name="Until">Its right edge, UTC, later.</param>
public readonly record struct TimeAxis(DateTimeOffset From, DateTimeOffset Until)
{
    /// <summary>Where a moment stands, 0 to 100 %; one outside stands at the edge.</summary>
    public double At(DateTimeOffset moment) => Math.Clamp((moment - From) / (Until - From) * 100, 0, 100);

    /// <summary>Where a local day begins, 0 to 100 %.</summary>
    public double At(DateOnly day, TimeZoneInfo zone) => At(LocalDay.StartOf(day, zone));
}
