using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Garden;

/// <summary>What is fixed about a quantity.</summary>
/// <param name="Quantity">The quantity.</param>
/// <param name="Word">As files, options, topics and JSON spell it: <c>leaf-wetness</c>.</param>
/// <param name="Column">As the column of a table is headed, with its unit: <c>rain_mm</c>.</param>
/// <param name="Dimension">What kind of amount it is; it is reckoned in the dimension's unit.</param>
/// <param name="Lowest">The lowest value that is taken.</param>
/// <param name="Highest">The highest value that is taken.</param>
/// <param name="Units">The units in which a sensor may report it; the first holds where none is given.</param>
public sealed record QuantityFacts(
    Quantity Quantity, string Word, string Column, Dimension Dimension, double Lowest, double Highest, IReadOnlyList<Unit> Units);

/// <summary>
/// The one table of quantities: word, unit, range. The ranges are those of weather outdoors, wider than any garden's.
/// </summary>
public static class Quantities
{
    /// <summary>Lowest and highest air temperature taken, °C.</summary>
    public const double MinTemperatureC = -60, MaxTemperatureC = 60;

    /// <summary>Humidity up to here is sensor drift and counts as 100 %; above it the value is refused.</summary>
    public const double MaxHumidityPct = 105;

    /// <summary>Highest rain taken in one reading, mm.</summary>
    public const double MaxRainMm = 250;

    /// <summary>Highest wind speed taken, m/s.</summary>
    public const double MaxWindMs = 100;

    /// <summary>Highest leaf wetness taken, in the sensor's own scale: a grid's resistance in Ω reaches this (ASSUMED).</summary>
    public const double MaxLeafWetness = 1e8;

    // A leaf-wetness value between -1 and 0 is the noise of a dry sensor and counts as 0; at and below it the value is refused.
    private const double LeafWetnessNoise = -1 + 1e-9;

    /// <summary>How many there are.</summary>
    public const int Count = 1 + (int)Quantity.LeafWetnessUnderShelter;

    private static readonly Unit[] LeafUnits = [Unit.Raw, Unit.Count, Unit.Millivolt, Unit.Percent, Unit.Minute, Unit.WetOrDry];

    /// <summary>All of them, in the order of <see cref="Quantity"/>.</summary>
    public static IReadOnlyList<QuantityFacts> All { get; } =
    [
        new(
            Quantity.Temperature,
            "temperature",
            "temperature_c",
            Dimension.Temperature,
            MinTemperatureC,
            MaxTemperatureC,
            [Unit.Celsius, Unit.Fahrenheit, Unit.Kelvin]),
        // No air outdoors has 0 % humidity: a failed sensor says so.
        new(Quantity.Humidity, "humidity", "humidity_pct", Dimension.Share, double.Epsilon, MaxHumidityPct, [Unit.Percent, Unit.Fraction]),
        new(Quantity.LeafWetness, "leaf-wetness", "leaf_wetness", Dimension.Raw, LeafWetnessNoise, MaxLeafWetness, LeafUnits),
        new(Quantity.Rain, "rain", "rain_mm", Dimension.Depth, 0, MaxRainMm, [Unit.Millimetre, Unit.Inch]),
        new(
            Quantity.WindSpeed,
            "wind-speed",
            "wind_ms",
            Dimension.Speed,
            0,
            MaxWindMs,
            [Unit.MetrePerSecond, Unit.KilometrePerHour, Unit.MilePerHour, Unit.Knot]),
        new(
            Quantity.LeafWetnessUnderShelter,
            "leaf-wetness-under-shelter",
            "leaf_wetness_under_shelter",
            Dimension.Raw,
            LeafWetnessNoise,
            MaxLeafWetness,
            LeafUnits),
    ];

    /// <summary>The row of a quantity.</summary>
    public static QuantityFacts Facts(this Quantity quantity) => All[(int)quantity];

    /// <summary>As files, options, topics and JSON spell it: <c>leaf-wetness</c>.</summary>
    public static string Word(this Quantity quantity) => quantity.Facts().Word;

    /// <summary>As a sentence says it: <c>leaf wetness</c>.</summary>
    public static string Name(this Quantity quantity) => quantity.Word().Replace('-', ' ');

    /// <summary>The same, to be told in any language.</summary>
    public static Sentence Said(this Quantity quantity) => quantity switch
    {
        Quantity.Temperature => $"temperature",
        Quantity.Humidity => $"humidity",
        Quantity.LeafWetness => $"leaf wetness",
        Quantity.LeafWetnessUnderShelter => $"leaf wetness under shelter",
        Quantity.Rain => $"rain",
        Quantity.WindSpeed => $"wind speed",
    };
}
