using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Weather;

/// <summary>Refuses values that cannot be, by the ranges of <see cref="Quantities"/>.</summary>
public static class QualityControl
{
    /// <summary>
    /// Just this temperature is what failed sensors send, in °C and °F alike; peach wood is dead well above it (common practice, no
    /// source), °C.
    /// </summary>
    public const double DeadProbeC = -40;

    private static readonly double[] Lowest = [.. Quantities.All.Select(facts => facts.Lowest)];

    private static readonly double[] Highest = [.. Quantities.All.Select(facts => facts.Highest)];

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

    /// <summary>A value between these is taken as it is, and nothing more need be asked of it.</summary>
    internal static (double Low, double High) PlainRange(Quantity quantity) => quantity switch
    {
        Quantity.Temperature => (Math.BitIncrement(DeadProbeC), PlausibilityWatch.HighestDewPointC),
        Quantity.Humidity => (Lowest[(int)quantity], 100),
        Quantity.LeafWetness or Quantity.LeafWetnessUnderShelter => (0, Highest[(int)quantity]),
        Quantity.Rain or Quantity.WindSpeed => (Lowest[(int)quantity], Highest[(int)quantity]),
    };

    /// <summary>
    /// Says why a value was not taken, as the second half of a sentence that begins with it: what was wrong, and what may lie behind.
    /// </summary>
    /// <param name="quantity">What it should measure.</param>
    /// <param name="value">The value in the quantity's unit.</param>
    /// <param name="verdict">What became of it.</param>
    /// <param name="units">The grower's units.</param>
    public static Sentence Why(Quantity quantity, double value, QualityVerdict verdict, UnitSystem units) =>
        verdict switch
        {
            QualityVerdict.Impossible => UnitHint.For(quantity, value, units) is { } hint
                ? (Sentence)$"cannot be: {RangeOf(quantity, units)} are taken; {hint}"
                : $"cannot be: {RangeOf(quantity, units)} are taken",
            QualityVerdict.Duplicate => $"comes a second time for the same moment; the first counts",
            QualityVerdict.Leap =>
                $"leaps by more than {LeapOf(quantity, units)} in half an hour, which no weather does; "
                    + $"it counts when the next value agrees",
            QualityVerdict.Late => $"has a time more than a day before its arrival; is the sensor's clock right?",
            QualityVerdict.Ahead => $"has a time more than ten minutes ahead of its arrival; is the sensor's clock right?",
            _ => $"was taken",
        };

    private static Figure LeapOf(Quantity quantity, UnitSystem units) =>
        new(quantity == Quantity.Temperature ? units.TemperatureDifference(LeapGate.TemperatureK) : UnitSystem.Share(LeapGate.HumidityPct));

    /// <summary>Says in words which values of a quantity are taken.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="units">The grower's units.</param>
    public static Sentence RangeOf(Quantity quantity, UnitSystem units)
    {
        var (low, high) = (quantity.Facts().Lowest, quantity.Facts().Highest);
        return quantity.Facts().Dimension switch
        {
            Dimension.Temperature => $"{new Figure(units.TemperatureFigure(low))} to {new Figure(units.Temperature(high))}",
            Dimension.Share => $"above 0 to {new Figure(UnitSystem.Share(high))}",
            Dimension.Depth => $"{new Figure(UnitSystem.Raw(low))} to {new Figure(units.Rain(high))}",
            Dimension.Speed => $"{new Figure(units.WindFigure(low))} to {new Figure(units.Wind(high))}",
            _ => $"0 to {new Figure(UnitSystem.Raw(high))}",
        };
    }
}
