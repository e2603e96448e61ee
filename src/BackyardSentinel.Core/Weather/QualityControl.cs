using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Weather;

/// <summary>Refuses values that cannot be. The ranges are those of weather outdoors, wider than any garden's.</summary>
public static class QualityControl
{
    /// <summary>Lowest and highest air temperature taken, °C.</summary>
    public const double MinTemperatureC = -60, MaxTemperatureC = 60;

    /// <summary>Humidity up to here is sensor drift and counts as 100 %; above it the value is refused.</summary>
    public const double MaxHumidityPct = 105;

    /// <summary>Highest wind speed taken, m/s.</summary>
    public const double MaxWindMs = 100;

    /// <summary>Highest rain taken in one reading, mm.</summary>
    public const double MaxRainMm = 250;

    /// <summary>Highest leaf wetness taken, in the sensor's own scale: a grid's resistance in Ω reaches this (ASSUMED).</summary>
    public const double MaxLeafWetness = 1e8;

    /// <summary>
    /// A leaf-wetness value between this and 0 is the noise of a dry sensor and counts as 0; at and below it the value is refused.
    /// </summary>
    public const double LeafWetnessNoise = -1;

    /// <summary>
    /// Just this temperature is what failed sensors send, in °C and °F alike; peach wood is dead well above it (common practice, no
    /// source), °C.
    /// </summary>
    public const double DeadProbeC = -40;

    // In the order of Quantity. No air outdoors has 0 % humidity: a failed sensor says so.
    private static ReadOnlySpan<double> Lowest => [MinTemperatureC, double.Epsilon, LeafWetnessNoise + 1e-9, 0, 0, LeafWetnessNoise + 1e-9];

    private static ReadOnlySpan<double> Highest => [MaxTemperatureC, MaxHumidityPct, MaxLeafWetness, MaxRainMm, MaxWindMs, MaxLeafWetness];

    /// <summary>Judges one value and gives the value to go on with.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static QualityVerdict Judge(Quantity quantity, double value, out double taken)
    {
        taken = value;
        if (!(value >= Lowest[(int)quantity] && value <= Highest[(int)quantity]))
            return QualityVerdict.Impossible;
        switch (quantity)
        {
            case Quantity.Temperature:
                return value == DeadProbeC ? QualityVerdict.Impossible : QualityVerdict.Good;
            case Quantity.Humidity when value > 100:
                taken = 100;
                return QualityVerdict.Clamped;
            case Quantity.LeafWetness or Quantity.LeafWetnessUnderShelter when value < 0:
                taken = 0;
                return QualityVerdict.Clamped;
            default:
                return QualityVerdict.Good;
        }
    }

    /// <summary>
    /// Says why a value was not taken, as the second half of a sentence that begins with it: what was wrong, and what may lie behind.
    /// </summary>
    /// <param name="quantity">What it should measure.</param>
    /// <param name="value">The value in the quantity's unit.</param>
    /// <param name="verdict">What became of it.</param>
    /// <param name="units">The grower's units.</param>
    public static string Why(Quantity quantity, double value, QualityVerdict verdict, UnitSystem units) =>
        verdict switch
        {
            QualityVerdict.Impossible =>
                $"cannot be: {RangeOf(quantity, units)} are taken{(UnitHint.For(quantity, value, units) is { } hint ? $"; {hint}" : "")}",
            QualityVerdict.Duplicate => "comes a second time for the same moment; the first counts",
            QualityVerdict.Leap =>
                $"leaps by more than {LeapOf(quantity, units)} in half an hour, which no weather does; it counts when the next value agrees",
            QualityVerdict.Late => "came too late: its time had been judged",
            QualityVerdict.Ahead => "has a time more than ten minutes ahead of its arrival; is the sensor's clock right?",
            _ => "was taken",
        };

    private static string LeapOf(Quantity quantity, UnitSystem units) =>
        quantity == Quantity.Temperature ? units.TemperatureDifference(LeapGate.TemperatureK) : UnitSystem.Share(LeapGate.HumidityPct);

    /// <summary>Says in words which values of a quantity are taken.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="units">The grower's units.</param>
    public static string RangeOf(Quantity quantity, UnitSystem units) => quantity switch
    {
        Quantity.Temperature => units.Temperature(MinTemperatureC, MaxTemperatureC),
        Quantity.Humidity => "above 0 to 105 %",
        Quantity.Rain => $"0 to {units.Rain(MaxRainMm)}",
        Quantity.WindSpeed => units.Wind(0, MaxWindMs),
        _ => "0 to 100000000",
    };
}
