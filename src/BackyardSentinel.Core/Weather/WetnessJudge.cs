using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>
/// Judges whether an interval was wet: frost first, then rain, then the leaf-wetness sensor where it covers at least
/// half, then humidity by the site's estimator.
/// </summary>
/// <param name="limits">The estimator and its threshold.</param>
public sealed class WetnessJudge(WetSpellLimits limits)
{
    /// <summary>Least share of the interval that the leaf-wetness sensor must cover to be believed.</summary>
    public const double MinLeafWetCoverage = 0.5;

    /// <summary>The extended threshold looks at the change of humidity over this time.</summary>
    public static readonly TimeSpan ChangeSpan = TimeSpan.FromMinutes(30);

    private const double UsualMastM = 2;

    private readonly Queue<(DateTimeOffset Start, double HumidityPct)> _recent = new();
    private bool _estimatedWet;

    /// <summary>Judges the next interval; intervals must come in order.</summary>
    public Wetness Judge(in WeatherInterval interval)
    {
        // The estimators with a memory see every interval, also those that rain or the sensor decides.
        var estimate = interval.HumidityPct is { } humidity ? Estimate(interval, LimitRounding.Rounded(humidity)) : null;
        if (interval.TemperatureC is { } t && LimitRounding.Rounded(t) < 0)
            return new Wetness(WetnessState.Frozen, 0);
        if (interval.RainMm > 0)
            return new Wetness(WetnessState.Wet, 1);
        if (interval.LeafWetShare is { } share && interval.LeafWetCoverage >= MinLeafWetCoverage)
            return share > 0 ? new Wetness(WetnessState.Wet, share) : new Wetness(WetnessState.Dry, 0);
        return estimate switch
        {
            true => new Wetness(WetnessState.Wet, 1),
            false => new Wetness(WetnessState.Dry, 0),
            null => new Wetness(WetnessState.Unknown, 0),
        };
    }

    private bool? Estimate(in WeatherInterval interval, double humidityPct)
    {
        bool? wet = limits.Estimator switch
        {
            WetnessEstimator.HumidityThreshold => LeafWetness.HumidityThreshold(humidityPct, limits.WetHumidityPct),
            WetnessEstimator.ExtendedThreshold => LeafWetness.ExtendedThreshold(
                humidityPct,
                Change(interval.Start, humidityPct),
                _estimatedWet),
            WetnessEstimator.DewPointDepression => interval.TemperatureC is { } t
                ? LeafWetness.DewPointDepression(t, humidityPct, _estimatedWet)
                : null,
            WetnessEstimator.ClassificationTree => interval.TemperatureC is { } t
                ? LeafWetness.ClassificationTree(t, humidityPct, AtTree(interval.WindMs))
                : null,
        };
        _estimatedWet = wet ?? false;
        return wet;
    }

    /// <summary>The tree asks for wind at 0.3 m; masts of gardens stand at 2 m (ASSUMED).</summary>
    private static double? AtTree(double? windMs) => windMs is { } wind ? LeafWetness.WindAtTreeHeightMs(wind, UsualMastM) : null;

    /// <summary>Humidity now less that of half an hour ago; <c>null</c> where that was not measured or intervals are longer.</summary>
    private double? Change(DateTimeOffset start, double humidityPct)
    {
        _recent.Enqueue((start, humidityPct));
        while (start - _recent.Peek().Start > ChangeSpan)
            _recent.Dequeue();
        return start - _recent.Peek().Start == ChangeSpan ? humidityPct - _recent.Peek().HumidityPct : null;
    }
}
