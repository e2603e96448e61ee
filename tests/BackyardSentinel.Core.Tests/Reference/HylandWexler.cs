namespace BackyardSentinel.Tests.Reference;

/// <summary>
/// Saturation vapour pressure and thermodynamic wet bulb by Hyland and Wexler 1983, as in ASHRAE Handbook Fundamentals 2017,
/// chapter 1: another way to what the program takes from WMO-No. 8, to check it by. °C and hPa.
/// </summary>
internal static class HylandWexler
{
    /// <summary>Over water, hPa: eq. 6; 0 to 200 °C.</summary>
    public static double OverWaterHpa(double temperatureC)
    {
        var t = temperatureC + 273.15;
        return Math.Exp((-5.8002206e3 / t) + 1.3914993 - (4.8640239e-2 * t) + (4.1764768e-5 * t * t)
            - (1.4452093e-8 * t * t * t) + (6.5459673 * Math.Log(t))) / 100;
    }

    /// <summary>Over ice, hPa: eq. 5; -100 to 0.01 °C.</summary>
    public static double OverIceHpa(double temperatureC)
    {
        var t = temperatureC + 273.15;
        return Math.Exp((-5.6745359e3 / t) + 6.3925247 - (9.677843e-3 * t) + (6.2215701e-7 * t * t)
            + (2.0747825e-9 * t * t * t) - (9.484024e-13 * t * t * t * t) + (4.1635019 * Math.Log(t))) / 100;
    }

    /// <summary>
    /// Wet bulb of adiabatic saturation, °C: eq. 33 (water) wherever it has a solution at or above 0 °C, else eq. 35 (ice).
    /// </summary>
    /// <param name="temperatureC">Air temperature, °C.</param>
    /// <param name="humidityPct">Relative humidity over water, %.</param>
    /// <param name="pressureHpa">Station pressure, hPa.</param>
    public static double WetBulbC(double temperatureC, double humidityPct, double pressureHpa)
    {
        var ratio = Ratio(humidityPct / 100 * OverWaterHpa(temperatureC));
        var isWet = temperatureC >= 0 && AboveWater(0) <= ratio;
        var (lowC, highC) = isWet ? (0.0, temperatureC) : (-100.0, Math.Min(temperatureC, 0));
        for (var step = 0; step < 60; step++)
        {
            var middleC = (lowC + highC) / 2;
            if ((isWet ? AboveWater(middleC) : AboveIce(middleC)) > ratio)
                highC = middleC;
            else
                lowC = middleC;
        }

        return highC;

        // kg of vapour per kg of dry air, eq. 20; boiling holds any amount.
        double Ratio(double vapourPressureHpa) => vapourPressureHpa < pressureHpa
            ? 0.621945 * vapourPressureHpa / (pressureHpa - vapourPressureHpa)
            : double.PositiveInfinity;

        double AboveWater(double wetBulbC) =>
            (((2501 - (2.326 * wetBulbC)) * Ratio(OverWaterHpa(wetBulbC))) - (1.006 * (temperatureC - wetBulbC)))
            / (2501 + (1.86 * temperatureC) - (4.186 * wetBulbC));

        double AboveIce(double wetBulbC) =>
            (((2830 - (0.24 * wetBulbC)) * Ratio(OverIceHpa(wetBulbC))) - (1.006 * (temperatureC - wetBulbC)))
            / (2830 + (1.86 * temperatureC) - (2.1 * wetBulbC));
    }
}
