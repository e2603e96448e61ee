using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Weather;

/// <summary>Guesses what lies behind a value that cannot be: a forgotten unit, a scale, a mark for "no value".</summary>
public static class UnitHint
{
    // Common practice of sensors, no source: what they send when they have nothing to say. 85 and -127 are those of
    // probes on one wire, 65535 and 32767 full registers, the rest fillers of loggers.
    private static readonly double[] Fillers = [-9999, -999.9, -999, 998, 999, 999.9, 9999, 6553.5, 32767, -32768, 65534, 65535];

    /// <summary>Sensors send this number when they measure nothing.</summary>
    /// <param name="value">The number.</param>
    public static bool IsFiller(double value) => value == -127 || Array.IndexOf(Fillers, value) >= 0;

    /// <summary>A short question or statement about the value; <c>null</c> when nothing is known of it.</summary>
    /// <param name="quantity">What it should measure.</param>
    /// <param name="value">The refused value, in the quantity's unit.</param>
    /// <param name="units">The grower's units.</param>
    public static Sentence? For(Quantity quantity, double value, UnitSystem units)
    {
        if (Array.IndexOf(Fillers, value) >= 0)
            return $"sensors send this when they measure nothing";
        return quantity switch
        {
            Quantity.Temperature => Temperature(value, units),
            Quantity.Humidity => value switch
            {
                <= 0 => $"air outdoors is never that dry; sensors send this when they have failed",
                <= 1050 => $"are these tenths (scale: 0.1)?",
                <= 10500 => $"are these hundredths (scale: 0.01), or percent although the series says unit: fraction?",
                _ => null,
            },
            Quantity.Rain => value < 0 ? (Sentence)$"rain does not fall back" : $"is this a running total (counts: "
                + $"total) or a wrong scale?",
            Quantity.WindSpeed => value < 0 ? null : (Sentence)$"are these tenths (scale: 0.1)?",
            Quantity.LeafWetness or Quantity.LeafWetnessUnderShelter => null,
        };
    }

    /// <summary>A value as it is told: up to three decimals, the same in every culture.</summary>
    public static string Figure(double value) =>
        value.ToString(Math.Abs(value) >= 1e7 ? "0.###e+0" : "0.0##", CultureInfo.InvariantCulture);

    private static Sentence? Temperature(double value, UnitSystem units) => value switch
    {
        -127 => $"probes send this when their wire is loose",
        85 => $"some probes send this just after power comes on; or is the unit °F?",
        QualityControl.DeadProbeC => $"sensors send just this when they have failed",
        // The text has turned the value into °F already; what came is a figure that was taken for °C.
        > 60 and <= 135 when units == UnitSystem.Us => $"it came as {new Wording.Figure(Figure(value))} and was taken for °C; "
            + $"is the unit °F?",
        > 60 and <= 135 => $"is the unit °F?",
        >= 213 and <= 333 => $"is the unit K, or are these tenths of a degree (scale: 0.1)?",
        > 135 and <= 600 or < -60 and >= -600 => $"are these tenths of a degree (scale: 0.1)?",
        > 600 and <= 6000 => $"are these hundredths of a degree (scale: 0.01)?",
        >= 64936 and <= 65535 => $"a negative number was sent without its sign",
        _ => null,
    };
}
