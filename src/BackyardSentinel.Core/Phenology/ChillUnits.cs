using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// What one hour at a temperature adds to winter chill, by the models that give each hour a fixed weight. They are
/// steps: use means over whole clock hours. All throw <see cref="ArgumentOutOfRangeException"/> for NaN or a temperature
/// outside -100 to 100 °C. The papers themselves were not at hand; the limits are those that three open-source
/// implementations share, and volume numbers are from memory.
/// </summary>
public static class ChillUnits
{
    /// <summary>
    /// Chilling hours: 1 from 0 to 7.2 °C, both included, else 0. Other counts leave out 0 °C itself, or take in frost;
    /// a need found with one of those does not fit.
    /// </summary>
    /// <param name="tempC">Mean air temperature of the hour, °C.</param>
    public static double ChillingHour(double tempC)
    {
        Psychrometrics.RequireTemperature(tempC);
        return tempC is >= 0 and <= 7.2 ? 1 : 0;
    }

    /// <summary>
    /// Utah chill units, -1 to 1: Richardson, Seeley and Walker 1974 (HortScience 9, 331–332). Warm hours take away. The
    /// paper's table goes in steps of 0.1 °C; each upper limit here belongs to the class below it. Its Fahrenheit table
    /// is not the exact conversion of the Celsius one. A sum begun in summer starts far below zero: begin it in late autumn.
    /// </summary>
    /// <param name="tempC">Mean air temperature of the hour, °C.</param>
    public static double Utah(double tempC)
    {
        Psychrometrics.RequireTemperature(tempC);
        return tempC switch
        {
            <= 1.4 => 0,
            <= 2.4 => 0.5,
            <= 9.1 => 1,
            <= 12.4 => 0.5,
            <= 15.9 => 0,
            <= 18 => -0.5,
            _ => -1,
        };
    }

    /// <summary>
    /// Utah units of which no hour takes away, 0 to 1: Linsley-Noakes and others 1995, for mild winters, where warm days
    /// would undo the sum.
    /// </summary>
    /// <param name="tempC">Mean air temperature of the hour, °C.</param>
    public static double PositiveUtah(double tempC) => Math.Max(0, Utah(tempC));
}
