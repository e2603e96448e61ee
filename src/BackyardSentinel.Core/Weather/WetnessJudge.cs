namespace BackyardSentinel.Weather;

/// <summary>
/// Judges whether an interval was wet: frost first, then rain, then the leaf-wetness sensor where it covers at least
/// half, then humidity by the site's estimator.
/// </summary>
public sealed class WetnessJudge(Site site)
{
    /// <summary>Least share of the interval that the leaf-wetness sensor must cover to be believed.</summary>
    public const double MinLeafWetCoverage = 0.5;

    /// <summary>Judges the next interval; intervals must come in order.</summary>
    public Wetness Judge(in WeatherInterval interval)
    {
        if (interval.TemperatureC is { } t && Rounded(t) < 0)
            return new Wetness(WetnessState.Frozen, 0);
        if (interval.RainMm > 0)
            return new Wetness(WetnessState.Wet, 1);
        if (interval.LeafWetShare is { } share && interval.LeafWetCoverage >= MinLeafWetCoverage)
            return share > 0 ? new Wetness(WetnessState.Wet, share) : new Wetness(WetnessState.Dry, 0);
        if (interval.HumidityPct is { } humidity)
            return Rounded(humidity) >= site.WetHumidityPct ? new Wetness(WetnessState.Wet, 1) : new Wetness(WetnessState.Dry, 0);
        return new Wetness(WetnessState.Unknown, 0);
    }

    /// <summary>Means are compared with limits after rounding to a millionth, so that equal decimal figures compare equal.</summary>
    private static double Rounded(double value) => Math.Round(value, 6, MidpointRounding.AwayFromZero);
}
