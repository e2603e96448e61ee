namespace BackyardSentinel.Units;

/// <summary>
/// A unit of measure. This is the only table of units: sensors, forecasts, logs, the garden file, the journal and every
/// text go by it. The customary units of the United States have their exact values of NIST Handbook 44, Appendix C, and
/// of the international yard and pound of 1959.
/// </summary>
public sealed class Unit
{
    private const double LPerGallon = 3.785411784;
    private const double GPerPound = 453.59237;

    /// <summary>The zero of this unit in the dimension's unit, before the factor: x × factor + zero.</summary>
    private readonly double _zero;

    private Unit(Dimension dimension, string symbol, double factor, string[] names, double zero = 0, bool customary = false)
    {
        (Dimension, Symbol, Factor, Names, _zero, IsCustomary) = (dimension, symbol, factor, names, zero, customary);
    }

    /// <summary>Degrees Celsius.</summary>
    public static Unit Celsius { get; } = new(Dimension.Temperature, "°C", 1, ["C", "Cel", "degC", "celsius", "Celsius", "℃"]);

    /// <summary>Degrees Fahrenheit.</summary>
    public static Unit Fahrenheit { get; } =
        new(Dimension.Temperature, "°F", 5.0 / 9, ["F", "[degF]", "degF", "fahrenheit", "℉"], -32 * 5.0 / 9, customary: true);

    /// <summary>Kelvin.</summary>
    public static Unit Kelvin { get; } = new(Dimension.Temperature, "K", 1, ["kelvin", "Kelvin"], -273.15);

    /// <summary>Percent.</summary>
    public static Unit Percent { get; } = new(Dimension.Share, "%", 1, ["%RH", "percent"]);

    /// <summary>Zero to one.</summary>
    public static Unit Fraction { get; } = new(Dimension.Share, "fraction", 100, ["1", "/"]);

    /// <summary>Millimetres; of rain the same as litres or kilograms on a square metre.</summary>
    public static Unit Millimetre { get; } = new(Dimension.Depth, "mm", 1, ["kg m-2", "kg_m-2", "kg/m2", "kg/m^2", "l/m2", "l/m²", "L/m²"]);

    /// <summary>Centimetres.</summary>
    public static Unit Centimetre { get; } = new(Dimension.Depth, "cm", 10, []);

    /// <summary>Metres, as a depth.</summary>
    public static Unit MetreOfDepth { get; } = new(Dimension.Depth, "m", 1000, []);

    /// <summary>Inches.</summary>
    public static Unit Inch { get; } = new(Dimension.Depth, "in", 25.4, ["[in_i]", "inch", "inches"], customary: true);

    /// <summary>Metres, as a height.</summary>
    public static Unit Metre { get; } = new(Dimension.Height, "m", 1, ["metre", "metres", "meter", "meters"]);

    /// <summary>Feet.</summary>
    public static Unit Foot { get; } = new(Dimension.Height, "ft", 0.3048, ["foot", "feet"], customary: true);

    /// <summary>Metres per second.</summary>
    public static Unit MetrePerSecond { get; } = new(Dimension.Speed, "m/s", 1, ["m s-1", "m_s-1", "ms-1"]);

    /// <summary>Kilometres per hour.</summary>
    public static Unit KilometrePerHour { get; } = new(Dimension.Speed, "km/h", 1 / 3.6, ["kmh", "km h-1", "km_h-1"]);

    /// <summary>Statute miles per hour.</summary>
    public static Unit MilePerHour { get; } = new(Dimension.Speed, "mph", 0.44704, ["[mi_i]/h", "mi/h", "mp/h"], customary: true);

    /// <summary>Knots.</summary>
    public static Unit Knot { get; } = new(Dimension.Speed, "kn", 1852.0 / 3600, ["[kn_i]", "kt", "kts", "knot", "knots"]);

    /// <summary>Square metres.</summary>
    public static Unit SquareMetre { get; } = new(Dimension.Area, "m²", 1, ["m2", "sq m"]);

    /// <summary>Hectares.</summary>
    public static Unit Hectare { get; } = new(Dimension.Area, "ha", 10_000, []);

    /// <summary>Square feet.</summary>
    public static Unit SquareFoot { get; } =
        new(Dimension.Area, "sq ft", 0.09290304, ["ft²", "ft2", "square feet", "square foot"], customary: true);

    /// <summary>Acres.</summary>
    public static Unit Acre { get; } = new(Dimension.Area, "acre", 4046.8564224, ["acres"], customary: true);

    /// <summary>Litres.</summary>
    public static Unit Litre { get; } = new(Dimension.Volume, "L", 1, ["l", "litre", "litres", "liter", "liters"]);

    /// <summary>Millilitres.</summary>
    public static Unit Millilitre { get; } = new(Dimension.Volume, "mL", 0.001, ["ml"]);

    /// <summary>US gallons of 231 cubic inches.</summary>
    public static Unit Gallon { get; } = new(Dimension.Volume, "gal", LPerGallon, ["gallon", "gallons"], customary: true);

    /// <summary>US liquid quarts: a fourth of a gallon.</summary>
    public static Unit Quart { get; } = new(Dimension.Volume, "qt", LPerGallon / 4, ["quart", "quarts"], customary: true);

    /// <summary>US liquid pints: an eighth of a gallon.</summary>
    public static Unit Pint { get; } = new(Dimension.Volume, "pt", LPerGallon / 8, ["pint", "pints"], customary: true);

    /// <summary>US cups: a sixteenth of a gallon.</summary>
    public static Unit Cup { get; } = new(Dimension.Volume, "cup", LPerGallon / 16, ["cups"], customary: true);

    /// <summary>US fluid ounces: a 128th of a gallon.</summary>
    public static Unit FluidOunce { get; } =
        new(Dimension.Volume, "fl oz", LPerGallon / 128, ["fl. oz.", "fluid ounce", "fluid ounces"], customary: true);

    /// <summary>US tablespoons: half a fluid ounce.</summary>
    public static Unit Tablespoon { get; } =
        new(Dimension.Volume, "tbsp", LPerGallon / 256, ["tablespoon", "tablespoons"], customary: true);

    /// <summary>US teaspoons: a third of a tablespoon.</summary>
    public static Unit Teaspoon { get; } = new(Dimension.Volume, "tsp", LPerGallon / 768, ["teaspoon", "teaspoons"], customary: true);

    /// <summary>Grams.</summary>
    public static Unit Gram { get; } = new(Dimension.Mass, "g", 1, ["gram", "grams"]);

    /// <summary>Kilograms.</summary>
    public static Unit Kilogram { get; } = new(Dimension.Mass, "kg", 1000, []);

    /// <summary>Avoirdupois ounces: a sixteenth of a pound.</summary>
    public static Unit Ounce { get; } = new(Dimension.Mass, "oz", GPerPound / 16, ["oz.", "ounce", "ounces"], customary: true);

    /// <summary>Avoirdupois pounds.</summary>
    public static Unit Pound { get; } = new(Dimension.Mass, "lb", GPerPound, ["lbs", "pound", "pounds"], customary: true);

    /// <summary>Counts of the sensor's converter.</summary>
    public static Unit Count { get; } = new(Dimension.Raw, "count", 1, []);

    /// <summary>Millivolts.</summary>
    public static Unit Millivolt { get; } = new(Dimension.Raw, "mV", 1, []);

    /// <summary>The sensor's own scale, whatever it is.</summary>
    public static Unit Raw { get; } = new(Dimension.Raw, "raw", 1, []);

    /// <summary>Minutes of a wet leaf.</summary>
    public static Unit Minute { get; } = new(Dimension.Raw, "min", 1, ["minutes"]);

    /// <summary>One for a wet leaf and zero for a dry one.</summary>
    public static Unit WetOrDry { get; } = new(Dimension.Raw, "wet-dry", 1, []);

    /// <summary>Every unit.</summary>
    public static IReadOnlyList<Unit> All { get; } =
    [
        Celsius, Fahrenheit, Kelvin, Percent, Fraction, Millimetre, Centimetre, MetreOfDepth, Inch, Metre, Foot,
        MetrePerSecond, KilometrePerHour, MilePerHour, Knot, SquareMetre, Hectare, SquareFoot, Acre,
        Litre, Millilitre, Gallon, Quart, Pint, Cup, FluidOunce, Tablespoon, Teaspoon, Gram, Kilogram, Ounce, Pound,
        Count, Millivolt, Raw, Minute, WetOrDry,
    ];

    /// <summary>What it measures.</summary>
    public Dimension Dimension { get; }

    /// <summary>How it is written.</summary>
    public string Symbol { get; }

    /// <summary>One step of it in the dimension's unit: 5/9 for °F.</summary>
    public double Factor { get; }

    /// <summary>
    /// Other ways of writing it: plain words, and those of SenML (RFC 8428, RFC 8798), UCUM and the WMO code table of units
    /// (from memory).
    /// </summary>
    public IReadOnlyList<string> Names { get; }

    /// <summary>It is one of the customary units of the United States.</summary>
    public bool IsCustomary { get; }

    /// <summary>The unit of that dimension that is written so; <c>null</c>: there is none.</summary>
    /// <param name="dimension">What is measured: <c>m</c> and <c>in</c> are written alike in two of them.</param>
    /// <param name="text">The symbol or another name, without spaces around it.</param>
    public static Unit? Find(Dimension dimension, string text) =>
        All.FirstOrDefault(unit => unit.Dimension == dimension && unit.IsWritten(text));

    /// <summary>An amount of this unit in the unit in which its dimension is reckoned.</summary>
    /// <param name="amount">The amount; not a difference, where the unit is one of temperature.</param>
    public double ToReckoned(double amount) =>
        // + 0.0 turns a negative zero into zero, as the store does.
        this == Fahrenheit ? ((amount - 32) * 5 / 9) + 0.0 : (amount * Factor) + _zero + 0.0;

    /// <summary>An amount that is reckoned in the dimension's unit, in this unit.</summary>
    /// <param name="reckoned">The amount.</param>
    public double FromReckoned(double reckoned) =>
        this == Fahrenheit ? (reckoned * 9 / 5) + 32 : (reckoned - _zero) / Factor;

    /// <inheritdoc/>
    public override string ToString() => Symbol;

    // In metric symbols capitals have a meaning; in customary ones they have none.
    private bool IsWritten(string text)
    {
        var comparison = IsCustomary ? StringComparison.OrdinalIgnoreCase : StringComparison.Ordinal;
        return string.Equals(Symbol, text, comparison) || Names.Any(name => string.Equals(name, text, comparison));
    }
}
