using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>What a site's weather would come to, hour by hour, if the forecast came true.</summary>
/// <param name="From">The end of the last interval judged, UTC: from here on nothing is measured.</param>
/// <param name="Hours">The hours of the forecast that begin from then on.</param>
/// <param name="Wetness">Whether leaves would be wet in each.</param>
/// <param name="Spells">Wet spells as they would end, or run at the end of the forecast.</param>
/// <param name="FirstGoesOn">The first of them runs already.</param>
public sealed record WeatherAhead(
    DateTimeOffset From,
    IReadOnlyList<ForecastHour> Hours,
    IReadOnlyList<Wetness> Wetness,
    IReadOnlyList<WetSpell> Spells,
    bool FirstGoesOn)
{
    /// <summary>Looks ahead; the tracker goes on as it stands and is not changed.</summary>
    internal static WeatherAhead Of(WetSpellTracker spells, DateTimeOffset from, IEnumerable<ForecastHour> forecast, double wetHumidityPct)
    {
        var goesOn = spells.Running is not null;
        spells = spells.Copy();
        ForecastHour[] hours = [.. forecast.Where(hour => hour.Start >= from)];
        List<Wetness> wetness = [];
        List<WetSpell> found = [];
        foreach (var hour in hours)
        {
            wetness.Add(ForecastWeather.WetnessOf(hour, wetHumidityPct));
            spells.Observe(ForecastWeather.IntervalOf(hour), wetness[^1], out var ended);
            if (ended is { } over)
                found.Add(over);
        }

        if (spells.Running is { } running)
            found.Add(running);
        return new WeatherAhead(from, hours, wetness, found, goesOn && found.Count > 0);
    }

    /// <summary>A rule's level at the end of each of the hours; the rule goes on as it stands and is not changed.</summary>
    internal IReadOnlyList<Level> LevelsOf(InfectionRule rule, WetSpellTracker spells, double factor)
    {
        (rule, spells) = (rule.Copy(), spells.Copy());
        List<Level> levels = [];
        for (var i = 0; i < Hours.Count; i++)
        {
            var interval = ForecastWeather.IntervalOf(Hours[i]);
            spells.Observe(interval, Wetness[i], out var ended);
            rule.Observe(new RuleInput(interval, Wetness[i], spells.Running, ended, factor));
            levels.Add(rule.Level);
        }

        return levels;
    }
}
