using BackyardSentinel.Weather;

namespace BackyardSentinel.Planning;

/// <summary>Whether a winter is wet: a tree that stood in rain for weeks is worth a spray at leaf fall too.</summary>
public static class WinterRain
{
    /// <summary>Rain of <see cref="Days"/> days from which a winter is called wet, mm. Assumed.</summary>
    public const double WetMm = 150;

    /// <summary>Days that are looked back.</summary>
    private const int Days = 60;

    /// <summary>So many of them must be known to call the winter dry. Assumed.</summary>
    private const int FewestKnown = 54;

    /// <summary>
    /// Rain of the last 60 days, mm; <c>null</c> where too few days are known: those that are not cannot make it less, so days that
    /// are wet enough by themselves count.
    /// </summary>
    /// <param name="pastDays">The days that are over, of a site with a rain gauge.</param>
    /// <param name="today">The local day now.</param>
    public static double? LastDaysMm(IEnumerable<DayWeather> pastDays, DateOnly today)
    {
        // A day on which the thermometer spoke is taken for one on which the gauge would have. Assumed.
        var known = pastDays.Where(day => day.Day < today && day.Day >= today.AddDays(-Days) && day.Coverage >= 0.5).ToList();
        var rainMm = known.Sum(day => day.RainMm);
        return known.Count >= FewestKnown || rainMm >= WetMm ? rainMm : null;
    }
}
