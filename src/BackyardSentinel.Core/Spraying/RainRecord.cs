using BackyardSentinel.Weather;
using static BackyardSentinel.Weather.LimitRounding;

namespace BackyardSentinel.Spraying;

/// <summary>Rainy, dry and unknown hours, from what was measured and what is forecast. Either one makes an hour rainy.</summary>
internal sealed class RainRecord
{
    private readonly IReadOnlyDictionary<DateTimeOffset, ForecastHour> forecast;
    private readonly Dictionary<DateTimeOffset, double>? measured;
    private readonly DateTimeOffset thisHour;

    public RainRecord(IReadOnlyDictionary<DateTimeOffset, ForecastHour> forecast, IReadOnlyList<RainAmount>? measured, DateTimeOffset asOf)
    {
        this.forecast = forecast;
        thisHour = HourOf(asOf);
        this.measured = measured?.GroupBy(amount => HourOf(amount.At)).ToDictionary(hour => hour.Key, hour => hour.Sum(amount => amount.Mm));
    }

    /// <summary>The hour's rain is a matter of the forecast, not of the past.</summary>
    public bool IsForecast(DateTimeOffset hour) => hour >= thisHour;

    /// <summary>It rains in the hour; <c>null</c>: not known.</summary>
    public bool? In(DateTimeOffset hour)
    {
        if (measured is not null && measured.TryGetValue(hour, out var mm) && Rounded(mm) >= SprayLimits.RainMm)
            return true;
        if (forecast.TryGetValue(hour, out var said) && (said.RainMm is not null || said.RainProbabilityPct is not null))
            return Rounded(said.RainMm ?? 0) >= SprayLimits.RainMm || said.RainProbabilityPct >= SprayLimits.RainProbabilityPct;
        return IsForecast(hour) || measured is null ? null : false;
    }

    private static DateTimeOffset HourOf(DateTimeOffset at) => new(at.UtcTicks - (at.UtcTicks % TimeSpan.TicksPerHour), TimeSpan.Zero);
}
