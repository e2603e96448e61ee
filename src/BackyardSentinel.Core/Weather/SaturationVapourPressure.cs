using static System.Math;

namespace BackyardSentinel.Weather;

/// <summary>
/// Published formulas for saturation vapour pressure other than the pair the program works with
/// (<see cref="Psychrometrics.SaturationOverWaterHpa"/>, <see cref="Psychrometrics.SaturationOverIceHpa"/>), kept to
/// compare with. Never mix two of them on the way from humidity to dew point and back: the error no longer cancels.
/// All take °C and return hPa over a plane surface of pure water or ice, without the moist-air enhancement factor,
/// and throw <see cref="ArgumentOutOfRangeException"/> for NaN or a temperature outside -100 to 100 °C. The validity
/// range named with each is the range its author gives; outside it the value is an extrapolation.
/// Volume, page and equation numbers of the sources are from memory unless a formula's own comment says where they were read.
/// </summary>
public static class SaturationVapourPressure
{
    /// <summary>Over water, hPa. Sonntag 1990 (Z. Meteorol. 70, 340–344); -100 to 100 °C.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterSonntag1990Hpa(double temperatureC)
    {
        var t = Kelvin(temperatureC);
        return Exp((-6096.9385 / t) + 16.635794 - (2.711193e-2 * t) + (1.673952e-5 * t * t) + (2.433502 * Log(t)));
    }

    /// <summary>Over water, hPa. Buck 1981 (J. Appl. Meteorol. 20, 1527–1532), eq. 8; -20 to 50 °C.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterBuck1981Hpa(double temperatureC) => Magnus(temperatureC, 6.1121, 17.502, 240.97);

    /// <summary>Over water, hPa. Buck 1981, curve ew4; -40 to 50 °C. Coefficients from memory.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterBuck1981Ew4Hpa(double temperatureC) => Buck(temperatureC, 6.1121, 18.729, 227.3, 257.87);

    /// <summary>Over water, hPa. Buck 1996 (revision in an instrument maker's manual); -40 to 50 °C.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterBuck1996Hpa(double temperatureC) => Buck(temperatureC, 6.1121, 18.678, 234.5, 257.14);

    /// <summary>
    /// Over water, hPa. Hyland and Wexler 1983 as in ASHRAE Handbook Fundamentals 2017, chapter 1, eq. 6; 0 to 200 °C,
    /// below 0 °C (supercooled water) only for comparison.
    /// </summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterHylandWexler1983Hpa(double temperatureC)
    {
        var t = Kelvin(temperatureC);
        return Exp((-5.8002206e3 / t) + 1.3914993 - (4.8640239e-2 * t) + (4.1764768e-5 * t * t)
            - (1.4452093e-8 * t * t * t) + (6.5459673 * Log(t))) / 100;
    }

    /// <summary>
    /// Over water, hPa. Wagner and Pruss, IAPWS SR1-86(1992), eq. 1; 0.01 °C to the critical point, below 0.01 °C only
    /// for comparison. Coefficients from memory; they give the published triple point.
    /// </summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterIapws1992Hpa(double temperatureC)
    {
        const double CriticalK = 647.096;
        var t = Kelvin(temperatureC);
        var x = 1 - (t / CriticalK);
        return 220_640 * Exp(CriticalK / t * ((-7.85951783 * x) + (1.84408259 * Pow(x, 1.5)) - (11.7866497 * Pow(x, 3))
            + (22.6807411 * Pow(x, 3.5)) - (15.9618719 * Pow(x, 4)) + (1.80122502 * Pow(x, 7.5))));
    }

    /// <summary>Over water, hPa. Murphy and Koop 2005 (Q. J. R. Meteorol. Soc. 131, 1539–1565), eq. 10; -150 to 59 °C.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterMurphyKoop2005Hpa(double temperatureC)
    {
        var t = Kelvin(temperatureC);
        return Exp(54.842763 - (6763.22 / t) - (4.210 * Log(t)) + (0.000367 * t)
            + (Tanh(0.0415 * (t - 218.8)) * (53.878 - (1331.22 / t) - (9.44523 * Log(t)) + (0.014025 * t)))) / 100;
    }

    /// <summary>
    /// Over water, hPa (the source writes kPa). Tetens' form as in FAO Irrigation and Drainage Paper 56 (Allen et al.
    /// 1998), eq. 11; about 0 to 50 °C.
    /// </summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterFao56Hpa(double temperatureC) => Magnus(temperatureC, 6.108, 17.27, 237.3);

    /// <summary>Over water, hPa. Alduchov and Eskridge 1996 (J. Appl. Meteorol. 35, 601–609); -40 to 50 °C.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterAlduchovEskridge1996Hpa(double temperatureC) =>
        Magnus(temperatureC, 6.1094, 17.625, 243.04);

    /// <summary>Over water, hPa. Bolton 1980 (Mon. Weather Rev. 108, 1046–1053), eq. 10; -30 to 35 °C.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double WaterBolton1980Hpa(double temperatureC) => Magnus(temperatureC, 6.112, 17.67, 243.5);

    /// <summary>
    /// Over ice, hPa. Sonntag 1990; -100 to 0.01 °C. Coefficients from memory, and printed differently in different
    /// papers: these give the triple-point pressure.
    /// </summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double IceSonntag1990Hpa(double temperatureC)
    {
        var t = Kelvin(temperatureC);
        return Exp((-6024.5282 / t) + 24.7219 + (1.0613868e-2 * t) - (1.3198825e-5 * t * t) - (0.49382577 * Log(t)));
    }

    /// <summary>Over ice, hPa. Buck 1981; -50 to 0 °C. Coefficients from memory.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double IceBuck1981Hpa(double temperatureC) => Magnus(temperatureC, 6.1115, 22.452, 272.55);

    /// <summary>Over ice, hPa. Buck 1996; -80 to 0 °C. Coefficients from memory.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double IceBuck1996Hpa(double temperatureC) => Buck(temperatureC, 6.1115, 23.036, 333.7, 279.82);

    /// <summary>
    /// Over ice, hPa. Hyland and Wexler 1983 as in ASHRAE Handbook Fundamentals 2017, chapter 1, eq. 5; -100 to 0.01 °C.
    /// </summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double IceHylandWexler1983Hpa(double temperatureC)
    {
        var t = Kelvin(temperatureC);
        return Exp((-5.6745359e3 / t) + 6.3925247 - (9.677843e-3 * t) + (6.2215701e-7 * t * t)
            + (2.0747825e-9 * t * t * t) - (9.484024e-13 * t * t * t * t) + (4.1635019 * Log(t))) / 100;
    }

    /// <summary>
    /// Over ice, hPa. IAPWS R14-08(2011), eq. 6; -223 to 0.01 °C. Coefficients from memory; they give the published
    /// 8.94735 Pa at 230 K.
    /// </summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double IceIapws2008Hpa(double temperatureC)
    {
        var u = Kelvin(temperatureC) / 273.16;
        return 6.11657 * Exp(((-21.2144006 * Pow(u, 0.00333333333)) + (27.3203819 * Pow(u, 1.20666667))
            - (6.10598130 * Pow(u, 1.70333333))) / u);
    }

    /// <summary>
    /// Over ice, hPa. Murphy and Koop 2005, eq. 7; -163 to 0 °C. Coefficients from memory; they give the published
    /// 27.272 Pa at 240 K.
    /// </summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public static double IceMurphyKoop2005Hpa(double temperatureC)
    {
        var t = Kelvin(temperatureC);
        return Exp(9.550426 - (5723.265 / t) + (3.53068 * Log(t)) - (0.00728332 * t)) / 100;
    }

    private static double Magnus(double temperatureC, double atZeroHpa, double slope, double poleC)
    {
        RequireTemperature(temperatureC);
        return atZeroHpa * Exp(slope * temperatureC / (poleC + temperatureC));
    }

    private static double Buck(double temperatureC, double atZeroHpa, double slope, double bendC, double poleC)
    {
        RequireTemperature(temperatureC);
        return atZeroHpa * Exp((slope - (temperatureC / bendC)) * temperatureC / (poleC + temperatureC));
    }

    private static double Kelvin(double temperatureC)
    {
        RequireTemperature(temperatureC);
        return temperatureC + 273.15;
    }

    private static void RequireTemperature(double temperatureC)
    {
        if (!(temperatureC is >= -100 and <= 100))
            throw new ArgumentOutOfRangeException(nameof(temperatureC), temperatureC, "A temperature must lie within -100 to 100 °C.");
    }
}
