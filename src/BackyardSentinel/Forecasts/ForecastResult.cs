using BackyardSentinel.Weather;

namespace BackyardSentinel.Forecasts;

/// <summary>What reading a forecast gave.</summary>
/// <param name="Forecast">The forecast; <c>null</c> when nothing of it can be used.</param>
/// <param name="Reason">Why there is none, as a sentence part; <c>null</c> when there is one.</param>
/// <param name="Remarks">What was left out or taken otherwise than sent, a sentence part each; at most 20.</param>
public sealed record ForecastResult(Forecast? Forecast, string? Reason, IReadOnlyList<string> Remarks)
{
    internal static ForecastResult Refuse(string reason, IReadOnlyList<string>? remarks = null) => new(null, reason, remarks ?? []);
}
