using BackyardSentinel.Garden;
using BackyardSentinel.Weather;
using static System.Math;

namespace BackyardSentinel.Phenology;

/// <summary>
/// What one hour at a temperature adds to the warmth that drives buds after chilling, in degree-hours (°C·h). The
/// functions differ widely, and a need is worth nothing with another function than its own. All
/// change smoothly enough that any step may be used if the value is multiplied by its length in hours. All throw <see
/// cref="ArgumentOutOfRangeException"/> for NaN or a temperature outside -100 to 100 °C. Papers
/// were not at hand: constants are as open-source implementations give them, volume numbers from memory.
/// </summary>
public static class GrowingDegreeHours
{
    /// <summary>The chosen function.</summary>
    /// <param name="function">Which one.</param>
    /// <param name="tempC">Air temperature, °C.</param>
    public static double Of(HeatFunction function, double tempC) => function switch
    {
        HeatFunction.Asymcur => Asymcur(tempC),
        HeatFunction.Linear45 => Linear45(tempC),
        HeatFunction.Linear47 => Linear47(tempC),
    };

    /// <summary>
    /// Asymmetric curve of two cosines: 0 up to 4 °C, 21 at 25 °C, 0 again from 36 °C. Anderson, Richardson and Kesner
    /// 1986 (Acta Hortic. 184, 71–78), for trees that are not stressed (factor 1).
    /// </summary>
    /// <param name="tempC">Air temperature, °C.</param>
    public static double Asymcur(double tempC)
    {
        const double BaseC = 4, BestC = 25, CriticalC = 36;
        Psychrometrics.RequireTemperature(tempC);
        return tempC switch
        {
            <= BaseC or >= CriticalC => 0,
            <= BestC => (BestC - BaseC) / 2 * (1 + Cos(PI + (PI * (tempC - BaseC) / (BestC - BaseC)))),
            _ => (BestC - BaseC) * (1 + Cos((PI / 2) + (PI / 2 * (tempC - BestC) / (CriticalC - BestC)))),
        };
    }

    /// <summary>
    /// Degrees above 4.5 °C, at most 20.5 (reached at 25 °C). Richardson, Seeley, Walker, Anderson and Ashcroft 1975
    /// (HortScience 10, 559–562).
    /// </summary>
    /// <param name="tempC">Air temperature, °C.</param>
    public static double Linear45(double tempC)
    {
        Psychrometrics.RequireTemperature(tempC);
        return Clamp(tempC - 4.5, 0, 20.5);
    }

    /// <summary>
    /// Degrees above 4.7 °C, without an upper limit, as needs of a nectarine were fitted by Miranda, Santesteban and Royo
    /// 2013 (Agric. For. Meteorol. 178–179, 129–139).
    /// </summary>
    /// <param name="tempC">Air temperature, °C.</param>
    public static double Linear47(double tempC)
    {
        Psychrometrics.RequireTemperature(tempC);
        return Max(0, tempC - 4.7);
    }
}
