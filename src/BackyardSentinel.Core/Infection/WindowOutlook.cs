using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>Where the weather would lead if the forecast came true: the very rule goes on with the forecast for weather.</summary>
/// <param name="OpensAt">When the window would open, or, where it is open, when it would reach its highest level, UTC.</param>
/// <param name="Window">The window as it would be when it first reaches its highest level within the forecast.</param>
public readonly record struct WindowOutlook(DateTimeOffset OpensAt, InfectionWindow Window)
{
    /// <summary>Looks ahead. What was observed is kept; the forecast only adds to it.</summary>
    /// <param name="rule">The rule as it stands; it is not changed.</param>
    /// <param name="spells">The tracker as it stands; it is not changed.</param>
    /// <param name="from">The end of the last interval judged, UTC.</param>
    /// <param name="forecast">The hours ahead; those that begin before <paramref name="from"/> are left out.</param>
    /// <param name="wetHumidityPct">Humidity from which an hour without rain counts as wet, %.</param>
    /// <param name="factor">How far the planting's tissue can be infected, 0–1.</param>
    /// <returns>The outlook; <c>null</c> when no window comes of it, and where one is open, when it gets no deeper.</returns>
    public static WindowOutlook? Of(
        InfectionRule rule,
        WetSpellTracker spells,
        DateTimeOffset from,
        IReadOnlyList<ForecastHour> forecast,
        double wetHumidityPct,
        double factor)
    {
        var highest = rule.OpenWindow?.Level ?? Level.Building;
        (rule, spells) = (rule.Copy(), spells.Copy());
        WindowOutlook? best = null;
        foreach (var hour in forecast)
        {
            if (hour.Start < from)
                continue;
            var interval = ForecastWeather.IntervalOf(hour);
            var wetness = ForecastWeather.WetnessOf(hour, wetHumidityPct);
            spells.Observe(interval, wetness, out var ended);
            rule.Observe(new RuleInput(interval, wetness, spells.Running, ended, factor));
            // A window may open and close within the hour.
            if ((rule.Opened ?? rule.OpenWindow) is not { } window || window.Level <= highest)
                continue;
            highest = window.Level;
            best = new WindowOutlook(window.OpenedAt > from ? window.OpenedAt : interval.End, window);
        }

        return best;
    }
}
