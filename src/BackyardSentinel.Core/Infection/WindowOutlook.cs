using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>Where the weather would lead if the forecast came true, by the rule <c>wet-hours</c>.</summary>
/// <param name="OpensAt">When a window would open, or, where one is open, reach its highest level, UTC.</param>
/// <param name="HighestLevel">The highest level it would reach within the forecast.</param>
/// <param name="Spell">The wet spell as it would then be.</param>
public readonly record struct WindowOutlook(DateTimeOffset OpensAt, Level HighestLevel, WetSpell Spell)
{
    /// <summary>Looks ahead. What was observed is kept; the forecast only adds to it.</summary>
    /// <param name="spells">The tracker as it stands; it is not changed.</param>
    /// <param name="from">The end of the last interval judged, UTC.</param>
    /// <param name="forecast">The hours ahead; those that begin before <paramref name="from"/> are left out.</param>
    /// <param name="wetHumidityPct">Humidity from which an hour without rain counts as wet, %.</param>
    /// <param name="factor">How far the planting's tissue can be infected, 0–1.</param>
    /// <returns>The outlook; <c>null</c> when no window comes of it.</returns>
    public static WindowOutlook? Of(
        WetSpellTracker spells, DateTimeOffset from, IReadOnlyList<ForecastHour> forecast, double wetHumidityPct, double factor)
    {
        if (factor <= 0)
            return null;
        var ahead = spells.Copy();
        WindowOutlook? best = null;
        foreach (var hour in forecast)
        {
            if (hour.Start < from)
                continue;
            var interval = new WeatherInterval(
                hour.Start,
                TimeSpan.FromHours(1),
                hour.TemperatureC,
                hour.HumidityPct,
                hour.WindMs,
                hour.RainMm,
                null,
                0,
                1,
                1);
            ahead.Observe(interval, WetnessOf(hour, wetHumidityPct), out _);
            if (ahead.Running is not { } spell || !WetHoursRule.MeetsMinimum(spell))
                continue;
            var level = WetHoursRule.LevelOf(WetHoursRule.Dose(spell, factor));
            if (level > (best?.HighestLevel ?? Level.Building))
                best = new WindowOutlook(best?.OpensAt ?? interval.End, level, spell);
        }

        return best;
    }

    private static Wetness WetnessOf(in ForecastHour hour, double wetHumidityPct) => hour switch
    {
        { TemperatureC: < 0 } => new Wetness(WetnessState.Frozen, 0),
        { RainMm: > 0 } => new Wetness(WetnessState.Wet, 1),
        { HumidityPct: { } humidity } => humidity >= wetHumidityPct ? new Wetness(WetnessState.Wet, 1) : new Wetness(WetnessState.Dry, 0),
        _ => new Wetness(WetnessState.Unknown, 0),
    };
}
