using static System.Math;

namespace BackyardSentinel.Weather;

/// <summary>
/// Estimates whether leaves are wet from what a garden station without a leaf-wetness sensor measures. Rain is not
/// looked at here: an interval with rain is wet whatever these say. Inputs come checked; NaN, a temperature outside
/// -100 to 100 °C or a negative wind is a bug and throws <see cref="ArgumentOutOfRangeException"/>.
/// Volume, page and equation numbers of the sources are from memory unless a formula's own comment says where they were read.
/// </summary>
public static class LeafWetness
{
    /// <summary>The humidity threshold used unless one is set, %: Sentelhas et al. 2008.</summary>
    public const double UsualThresholdPct = 90;

    /// <summary>Dew-point depression at which wetness begins unless set, °C. Assumed: its source could not be read.</summary>
    public const double UsualOnsetDepressionC = 2.0;

    /// <summary>Dew-point depression at which leaves are dry unless set, °C. Assumed: its source could not be read.</summary>
    public const double UsualDryOffDepressionC = 3.8;

    /// <summary>Wind taken for a missing one in the tree, m/s. Assumed: the calm air of a dew night.</summary>
    public const double CalmWindMs = 0.5;

    /// <summary>Height above the grass for which the tree wants its wind, m. Kim et al. 2002.</summary>
    public const double TreeWindHeightM = 0.3;

    /// <summary>
    /// Wet at and above a relative humidity. Sentelhas et al. 2008 (Agric. For. Meteorol. 148, 392–400), made for hourly
    /// means: 90 % was right for 87–92 % of hours at four places; thresholds of 83–87 % are in use elsewhere.
    /// </summary>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    /// <param name="thresholdPct">Threshold, %, above 0 and up to 100.</param>
    public static bool HumidityThreshold(double humidityPct, double thresholdPct = UsualThresholdPct)
    {
        if (!(thresholdPct is > 0 and <= 100))
            throw new ArgumentOutOfRangeException(
                nameof(thresholdPct), thresholdPct, "A humidity threshold must lie above 0 and up to 100 %.");
        return Psychrometrics.ClampedHumidityPct(humidityPct) >= thresholdPct;
    }

    /// <summary>
    /// Humidity threshold extended by the trend: wet from 87 %, dry below 70 %; between, wet when humidity rose by 3 % or
    /// more in 30 minutes, dry when it fell by 2 % or more, else as before. Wichink Kruit et al. 2004 (extended threshold
    /// over grassland); the four numbers are from memory. Found to report too much wetness at other places.
    /// </summary>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    /// <param name="changePct">Its change over the last 30 minutes, %; <c>null</c> when unknown: the state is kept.</param>
    /// <param name="wasWet">The state before.</param>
    public static bool ExtendedThreshold(double humidityPct, double? changePct, bool wasWet)
    {
        var rh = Psychrometrics.ClampedHumidityPct(humidityPct);
        if (changePct is { } change && !double.IsFinite(change))
            throw new ArgumentOutOfRangeException(nameof(changePct), changePct, "A humidity change must be a number.");

        return rh switch
        {
            >= 87 => true,
            < 70 => false,
            _ => changePct switch
            {
                >= 3 => true,
                <= -2 => false,
                // A slow change, or an unknown one, says nothing new.
                _ => wasWet,
            },
        };
    }

    /// <summary>
    /// Dew-point depression with two limits: wet at and below the onset, dry at and above the dry-off, between as before.
    /// The idea is that of Gillespie et al. 1993 (J. Appl. Meteorol. 32, 567–573). The pair 2.0/3.8 °C is assumed, not
    /// confirmed; 1.8/2.2 °C (Rao et al. 1998) is from memory. At 15 °C they mean about 88/78 % and 89/87 %.
    /// </summary>
    /// <param name="temperatureC">Air temperature, °C.</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    /// <param name="wasWet">The state before.</param>
    /// <param name="onsetC">Depression at which wetness begins, °C; 0 or more.</param>
    /// <param name="dryOffC">Depression at which leaves are dry, °C; above the onset.</param>
    public static bool DewPointDepression(
        double temperatureC,
        double humidityPct,
        bool wasWet,
        double onsetC = UsualOnsetDepressionC,
        double dryOffC = UsualDryOffDepressionC)
    {
        if (!(onsetC >= 0))
            throw new ArgumentOutOfRangeException(nameof(onsetC), onsetC, "An onset must be 0 °C or more.");
        if (!(dryOffC > onsetC))
            throw new ArgumentOutOfRangeException(nameof(dryOffC), dryOffC, "The dry-off must lie above the onset.");

        var depressionC = temperatureC - Psychrometrics.DewPointC(temperatureC, humidityPct);
        if (depressionC <= onsetC)
            return true;
        // Between the two limits the leaf stays as it was.
        return depressionC < dryOffC && wasWet;
    }

    /// <summary>
    /// The CART/SLD tree: Gleason et al. 1994 (Plant Dis. 78, 1011–1016), with wind at 0.3 m Kim et al. 2002 (Plant Dis.
    /// 86, 179–185). Made for 0 °C and more. Coefficients from later copies, the papers not being at hand; most
    /// print humidity in the second index unsquared, which could never reach its limit: the square is assumed. Below 0 °C
    /// the root is taken of 0 (assumed).
    /// </summary>
    /// <param name="temperatureC">Air temperature, °C.</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    /// <param name="windMs">
    /// Wind at 0.3 m above grass, m/s (see <see cref="WindAtTreeHeightMs"/>); <c>null</c> when not measured: calm air
    /// (<see cref="CalmWindMs"/>) is assumed.
    /// </param>
    public static bool ClassificationTree(double temperatureC, double humidityPct, double? windMs)
    {
        var wind = RequireWind(windMs ?? CalmWindMs);
        var rh = Psychrometrics.ClampedHumidityPct(humidityPct);
        var depressionC = temperatureC - Psychrometrics.DewPointC(temperatureC, rh);
        if (depressionC >= 3.7)
            return false;
        if (wind < 2.5)
            return LightWindIndex(temperatureC, rh, wind) > 14.4674;
        return rh >= 87.8 && WindIndex(temperatureC, rh, wind) > 37.0;
    }

    /// <summary>
    /// Index of the tree below 2.5 m/s, without unit; above 14.4674 is wet. Gleason et al. 1994, from later copies.
    /// </summary>
    /// <param name="temperatureC">Air temperature, °C; the root is taken of 0 below 0 °C (assumed).</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    /// <param name="windMs">Wind at 0.3 m, m/s.</param>
    public static double LightWindIndex(double temperatureC, double humidityPct, double windMs)
    {
        var rh = Psychrometrics.ClampedHumidityPct(humidityPct);
        var depressionC = temperatureC - Psychrometrics.DewPointC(temperatureC, rh);
        return (1.6064 * Sqrt(Max(temperatureC, 0))) + (0.0036 * temperatureC * temperatureC) + (0.1531 * rh)
            - (0.4599 * RequireWind(windMs) * depressionC) - (0.0035 * temperatureC * rh);
    }

    /// <summary>
    /// Index of the tree from 2.5 m/s on, without unit; above 37 is wet. Kim et al. 2002, from later copies; the square
    /// of humidity is assumed.
    /// </summary>
    /// <param name="temperatureC">Air temperature, °C; the root is taken of 0 below 0 °C (assumed).</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    /// <param name="windMs">Wind at 0.3 m, m/s.</param>
    public static double WindIndex(double temperatureC, double humidityPct, double windMs)
    {
        var rh = Psychrometrics.ClampedHumidityPct(humidityPct);
        var depressionC = temperatureC - Psychrometrics.DewPointC(temperatureC, rh);
        return (0.7921 * Sqrt(Max(temperatureC, 0))) + (0.0046 * rh * rh) - (2.3889 * RequireWind(windMs))
            - (0.0390 * temperatureC * windMs) + (1.0613 * windMs * depressionC);
    }

    /// <summary>
    /// Wind at 0.3 m, m/s, from a wind measured higher over grass: u ln((0.3-d)/z0) / ln((z-d)/z0) with a grass height of
    /// 0.12 m, d = 0.67 h, z0 = 0.123 h. Logarithmic profile, FAO-56 constants, from memory; open ground only.
    /// </summary>
    /// <param name="windMs">Measured wind, m/s.</param>
    /// <param name="heightM">Height of the measurement above ground, m; 0.3 to 50.</param>
    public static double WindAtTreeHeightMs(double windMs, double heightM)
    {
        if (!(heightM is >= TreeWindHeightM and <= 50))
            throw new ArgumentOutOfRangeException(nameof(heightM), heightM, "A wind height must lie within 0.3 to 50 m.");

        const double GrassM = 0.12;
        const double DisplacementM = 0.67 * GrassM;
        const double RoughnessM = 0.123 * GrassM;
        return RequireWind(windMs) * Log((TreeWindHeightM - DisplacementM) / RoughnessM)
            / Log((heightM - DisplacementM) / RoughnessM);
    }

    private static double RequireWind(double windMs) =>
        windMs is >= 0 and < double.PositiveInfinity
            ? windMs
            : throw new ArgumentOutOfRangeException(nameof(windMs), windMs, "A wind must be 0 m/s or more.");
}
