using System.Runtime.CompilerServices;
using static System.Math;

namespace BackyardSentinel.Weather;

/// <summary>
/// Humidity of the air: the formulas the program works with. Temperatures in °C, vapour pressures and air pressure in
/// hPa, relative humidity in % over liquid water at every temperature (WMO convention, and what common humidity chips
/// report). Humidity is clamped to 0.1–100 %: a chip drifting to 103 % means saturated air. Values come checked, so
/// NaN, a temperature outside -100 to 100 °C or a pressure outside 300 to 1200 hPa is a bug and throws
/// <see cref="ArgumentOutOfRangeException"/>.
/// Volume, page and equation numbers of the sources are from memory unless a formula's own comment says where they were read.
/// </summary>
public static class Psychrometrics
{
    // WMO-No. 8, annex 4.B: e = A exp(B t / (C + t)).
    private const double AtZeroHpa = 6.112;
    private const double WaterSlope = 17.62;
    private const double WaterPoleC = 243.12;

    /// <summary>
    /// Saturation vapour pressure over water, hPa: 6.112 exp(17.62 t / (243.12 + t)). WMO-No. 8, annex 4.B (Magnus
    /// form); -45 to 60 °C. Up to 0.3 % low near 27 °C against Hyland and Wexler 1983;
    /// the dew point computed with the same formula stays within 0.04 °C above 0 °C and 20 % humidity.
    /// </summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double SaturationOverWaterHpa(double temperatureC)
    {
        RequireTemperature(temperatureC);
        return OverWaterHpa(temperatureC);
    }

    /// <summary>Vapour pressure, hPa: e = RH/100 · ew(t). WMO-No. 8, annex 4.B; -45 to 60 °C.</summary>
    /// <param name="temperatureC">Air temperature, °C.</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    public static double VapourPressureHpa(double temperatureC, double humidityPct) =>
        ClampedHumidityPct(humidityPct) / 100 * SaturationOverWaterHpa(temperatureC);

    /// <summary>
    /// Vapour pressure deficit, hPa: ew(t) - e. Definition; -45 to 60 °C, over water. For one moment: a daily mean wants
    /// the mean of the saturation pressures at maximum and minimum, not that of the mean temperature (FAO-56, eq. 12).
    /// </summary>
    /// <param name="temperatureC">Air temperature, °C.</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    public static double VapourPressureDeficitHpa(double temperatureC, double humidityPct) =>
        SaturationOverWaterHpa(temperatureC) - VapourPressureHpa(temperatureC, humidityPct);

    /// <summary>
    /// Dew point (over water, also below 0 °C), °C: 243.12 g / (17.62 - g), g = ln(e/6.112). Inverse of WMO-No. 8, annex
    /// 4.B; -45 to 60 °C. Never above the air temperature, and equal to it from 100 % on.
    /// </summary>
    /// <param name="temperatureC">Air temperature, °C.</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    public static double DewPointC(double temperatureC, double humidityPct)
    {
        var vapourPressureHpa = VapourPressureHpa(temperatureC, humidityPct);
        // Rounding must not lift the dew point above the air, nor leave saturated air a hair short of it.
        return humidityPct >= 100 ? temperatureC : Min(DewPointC(vapourPressureHpa), temperatureC);
    }

    /// <summary>Dew point of a vapour pressure (over water, also below 0 °C), °C; same source and range.</summary>
    /// <param name="vapourPressureHpa">Vapour pressure, hPa, above 0 and below 1200.</param>
    public static double DewPointC(double vapourPressureHpa)
    {
        var g = Log(RequireVapourPressure(vapourPressureHpa) / AtZeroHpa);
        return WaterPoleC * g / (WaterSlope - g);
    }

    /// <summary>
    /// Wet bulb of an aspirated psychrometer with a water-covered bulb (also below 0 °C), °C: the tw that solves
    /// ew(tw) - 6.53e-4 (1 + 0.000944 tw) p (t - tw) = e. WMO-No. 8, annex 4.B; -45 to 60 °C. At most 0.23 °C above
    /// the thermodynamic wet bulb up to 45 °C and from 20 % humidity on, while that one lies above 0 °C.
    /// </summary>
    /// <param name="temperatureC">Air temperature, °C.</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    /// <param name="pressureHpa">Station pressure, hPa; not reduced to sea level.</param>
    public static double WetBulbC(double temperatureC, double humidityPct, double pressureHpa)
    {
        RequirePressure(pressureHpa);
        var vapourPressureHpa = VapourPressureHpa(temperatureC, humidityPct);
        return Bisect(
            DewPointC(temperatureC, humidityPct),
            temperatureC,
            wetBulbC => OverWaterHpa(wetBulbC)
                - (6.53e-4 * (1 + (0.000944 * wetBulbC)) * pressureHpa * (temperatureC - wetBulbC)) > vapourPressureHpa);
    }

    /// <summary>
    /// Delta-T, °C: how far the wet bulb (<see cref="WetBulbC"/>) lies below the air temperature, the measure of how
    /// fast a spray drop dries. Definition; -45 to 60 °C.
    /// </summary>
    /// <param name="temperatureC">Air temperature, °C.</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    /// <param name="pressureHpa">Station pressure, hPa; not reduced to sea level.</param>
    public static double DeltaTC(double temperatureC, double humidityPct, double pressureHpa) =>
        temperatureC - WetBulbC(temperatureC, humidityPct, pressureHpa);

    /// <summary>
    /// Usual air pressure at an altitude, hPa, for a garden without a barometer: 1013.25 (1 - 2.25577e-5 z)^5.2559.
    /// ASHRAE Handbook Fundamentals 2017, chapter 1, eq. 3; -500 to 9000 m, and throws beyond.
    /// </summary>
    /// <param name="altitudeM">Altitude above sea level, m.</param>
    public static double StationPressureHpa(double altitudeM) =>
        1013.25 * Pow(1 - (2.25577e-5 * RequireAltitude(altitudeM)), 5.2559);

    /// <summary>Humidity as the formulas take it, %: 0.1 to 100. Below 0.1 % no dew point would exist.</summary>
    internal static double ClampedHumidityPct(double humidityPct) =>
        double.IsFinite(humidityPct)
            ? Clamp(humidityPct, 0.1, 100)
            : throw new ArgumentOutOfRangeException(nameof(humidityPct), humidityPct, "A humidity must be a number.");

    internal static void RequireTemperature(
        double temperatureC, [CallerArgumentExpression(nameof(temperatureC))] string? name = null)
    {
        if (!(temperatureC is >= -100 and <= 100))
            throw new ArgumentOutOfRangeException(name, temperatureC, "A temperature must lie within -100 to 100 °C.");
    }

    private static void RequirePressure(double pressureHpa)
    {
        if (!(pressureHpa is >= 300 and <= 1200))
            throw new ArgumentOutOfRangeException(
                nameof(pressureHpa), pressureHpa, "A station pressure must lie within 300 to 1200 hPa.");
    }

    private static double RequireVapourPressure(double vapourPressureHpa) =>
        vapourPressureHpa is > 0 and < 1200
            ? vapourPressureHpa
            : throw new ArgumentOutOfRangeException(
                nameof(vapourPressureHpa), vapourPressureHpa, "A vapour pressure must lie within 0 to 1200 hPa.");

    private static double RequireAltitude(double altitudeM) =>
        altitudeM is >= -500 and <= 9000
            ? altitudeM
            : throw new ArgumentOutOfRangeException(
                nameof(altitudeM), altitudeM, "An altitude must lie within -500 to 9000 m.");

    // Unchecked: a bisection may look below -100 °C in very dry cold air.
    private static double OverWaterHpa(double temperatureC) =>
        AtZeroHpa * Exp(WaterSlope * temperatureC / (WaterPoleC + temperatureC));

    // Sixty halvings take a bracket of 200 °C below the spacing of doubles.
    private static double Bisect(double lowC, double highC, Func<double, bool> isAbove)
    {
        for (var step = 0; step < 60; step++)
        {
            var middleC = (lowC + highC) / 2;
            if (isAbove(middleC))
                highC = middleC;
            else
                lowC = middleC;
        }

        return highC;
    }
}
