using System.Globalization;

namespace BackyardSentinel.Units;

/// <summary>
/// The units of the place: everything that a person reads is written by one of the two. Figures come in as they are
/// reckoned (°C, mm, m/s, m², L, g, kg/ha). Machines never read these texts.
/// </summary>
public sealed class UnitSystem
{
    private const string OneDecimal = "0.#";
    private const string TwoDecimals = "0.##";

    /// <summary>Below this many fluid ounces tablespoons are easier to measure.</summary>
    private const double FewFluidOunces = 4;

    private readonly bool _us;

    private UnitSystem(string word, bool us) => (Word, _us) = (word, us);

    /// <summary>°C, mm, m/s, m², L, mL, g, kg/ha.</summary>
    public static UnitSystem Metric { get; } = new("metric", us: false);

    /// <summary>°F, inches, mph, square feet, US gallons, fluid ounces, tablespoons, ounces, lb/acre.</summary>
    public static UnitSystem Us { get; } = new("us", us: true);

    /// <summary>The word of the garden file: <c>metric</c> or <c>us</c>.</summary>
    public string Word { get; }

    /// <summary>The system of that word; <c>null</c>: there is none.</summary>
    public static UnitSystem? Find(string? word) => word == Metric.Word ? Metric : word == Us.Word ? Us : null;

    /// <summary>The unit in which a bare number of that dimension is meant and most of its amounts are written.</summary>
    /// <param name="dimension">What is measured.</param>
    public Unit UnitOf(Dimension dimension) => dimension switch
    {
        Dimension.Temperature => _us ? Unit.Fahrenheit : Unit.Celsius,
        Dimension.Depth => _us ? Unit.Inch : Unit.Millimetre,
        Dimension.Height => _us ? Unit.Foot : Unit.Metre,
        Dimension.Speed => _us ? Unit.MilePerHour : Unit.MetrePerSecond,
        Dimension.Area => _us ? Unit.SquareFoot : Unit.SquareMetre,
        Dimension.Volume => _us ? Unit.Gallon : Unit.Litre,
        Dimension.Mass => _us ? Unit.Ounce : Unit.Gram,
        Dimension.Share => Unit.Percent,
        Dimension.Raw => Unit.Raw,
    };

    /// <summary>A temperature to a tenth of a degree.</summary>
    /// <param name="celsius">°C.</param>
    public string Temperature(double celsius) => $"{TemperatureFigure(celsius)} {TemperatureUnit}";

    /// <summary>Two temperatures and what lies between.</summary>
    /// <param name="fromC">The lower one, °C.</param>
    /// <param name="toC">The higher one, °C.</param>
    public string Temperature(double fromC, double toC) => $"{TemperatureFigure(fromC)} to {Temperature(toC)}";

    /// <summary>A temperature without its unit, where that stands elsewhere.</summary>
    /// <param name="celsius">°C.</param>
    public string TemperatureFigure(double celsius) => Figure(UnitOf(Dimension.Temperature).FromReckoned(celsius), OneDecimal);

    /// <summary>How temperatures are headed: °C or °F.</summary>
    public string TemperatureUnit => UnitOf(Dimension.Temperature).Symbol;

    /// <summary>A difference of temperatures, such as a Delta-T.</summary>
    /// <param name="kelvin">The difference, K.</param>
    public string TemperatureDifference(double kelvin) => $"{DifferenceFigure(kelvin)} {TemperatureUnit}";

    /// <summary>Two differences of temperatures and what lies between.</summary>
    /// <param name="from">The smaller one, K.</param>
    /// <param name="to">The larger one, K.</param>
    public string TemperatureDifference(double from, double to) => $"{DifferenceFigure(from)} to {TemperatureDifference(to)}";

    /// <summary>A sum of warmth above a base.</summary>
    /// <param name="celsiusDays">Degree-days, °C.</param>
    public string DegreeDays(double celsiusDays) =>
        $"{DegreeDaysFigure(celsiusDays)} degree-days{(_us ? " (°F)" : "")}";

    /// <summary>A sum of warmth without its unit, where that stands elsewhere.</summary>
    /// <param name="celsiusDays">Degree-days, °C.</param>
    public string DegreeDaysFigure(double celsiusDays) => Figure(celsiusDays / UnitOf(Dimension.Temperature).Factor, "0");

    /// <summary>An amount of rain: tenths of a millimetre, or hundredths of an inch; more than none is never told as none.</summary>
    /// <param name="mm">mm.</param>
    public string Rain(double mm)
    {
        var text = Figure(UnitOf(Dimension.Depth).FromReckoned(mm), _us ? TwoDecimals : OneDecimal);
        return (mm > 0 && text == "0" ? _us ? "under 0.01" : "under 0.1" : text) + " " + UnitOf(Dimension.Depth).Symbol;
    }

    /// <summary>A wind.</summary>
    /// <param name="ms">m/s.</param>
    public string Wind(double ms) => $"{WindFigure(ms)} {UnitOf(Dimension.Speed).Symbol}";

    /// <summary>Two winds and what lies between.</summary>
    /// <param name="fromMs">The weaker one, m/s.</param>
    /// <param name="toMs">The stronger one, m/s.</param>
    public string Wind(double fromMs, double toMs) => $"{WindFigure(fromMs)} to {Wind(toMs)}";

    /// <summary>A wind without its unit, where that stands elsewhere.</summary>
    /// <param name="ms">m/s.</param>
    public string WindFigure(double ms) => Figure(UnitOf(Dimension.Speed).FromReckoned(ms), OneDecimal);

    /// <summary>A depth of soil.</summary>
    /// <param name="cm">cm.</param>
    public string Depth(double cm) =>
        _us ? $"{Figure(Unit.Inch.FromReckoned(cm * Unit.Centimetre.Factor), "0")} in" : $"{Figure(cm, "0")} cm";

    /// <summary>A mass on an area of ground.</summary>
    /// <param name="kgPerHa">kg/ha.</param>
    public string MassPerArea(double kgPerHa) => $"{MassPerAreaFigure(kgPerHa)} {(_us ? "lb/acre" : "kg/ha")}";

    /// <summary>A mass on an area without its unit, where that stands elsewhere.</summary>
    /// <param name="kgPerHa">kg/ha.</param>
    public string MassPerAreaFigure(double kgPerHa) =>
        Figure(_us ? kgPerHa * Unit.Kilogram.Factor / Unit.Hectare.Factor / Unit.Pound.Factor * Unit.Acre.Factor : kgPerHa, TwoDecimals);

    /// <summary>A content of the soil.</summary>
    /// <param name="mgPerKg">mg/kg.</param>
    public string SoilContent(double mgPerKg) => $"{Figure(mgPerKg, OneDecimal)} {(_us ? "ppm" : "mg/kg")}";

    /// <summary>A volume of mixture or water, to three figures.</summary>
    /// <param name="litres">L, from 0.</param>
    public string Volume(double litres) =>
        $"{ThreeFigures(UnitOf(Dimension.Volume).FromReckoned(litres))} {UnitOf(Dimension.Volume).Symbol}";

    /// <summary>A mass, to three figures.</summary>
    /// <param name="grams">g, from 0.</param>
    public string Mass(double grams) => $"{ThreeFigures(UnitOf(Dimension.Mass).FromReckoned(grams))} {UnitOf(Dimension.Mass).Symbol}";

    /// <summary>A small volume, as a spoon or a measuring cup holds it, to three figures.</summary>
    /// <param name="millilitres">mL, from 0.</param>
    public string SmallVolume(double millilitres)
    {
        if (!_us)
            return $"{ThreeFigures(millilitres)} {Unit.Millilitre.Symbol}";
        var litres = millilitres * Unit.Millilitre.Factor;
        var ounces = Unit.FluidOunce.FromReckoned(litres);
        return ounces < FewFluidOunces
            ? $"{ThreeFigures(ounces)} fl oz ({ThreeFigures(Unit.Tablespoon.FromReckoned(litres))} tbsp)"
            : $"{ThreeFigures(ounces)} fl oz";
    }

    /// <summary>A volume of powder, to three figures.</summary>
    /// <param name="millilitres">mL, from 0.</param>
    public string Spoons(double millilitres)
    {
        if (!_us)
            return $"{ThreeFigures(millilitres)} {Unit.Millilitre.Symbol}";
        var unit = Unit.Cup.FromReckoned(millilitres * Unit.Millilitre.Factor) >= 1 ? Unit.Cup : Unit.Tablespoon;
        return $"{ThreeFigures(unit.FromReckoned(millilitres * Unit.Millilitre.Factor))} {unit.Symbol}";
    }

    /// <summary>A mass in a volume, as of a dose.</summary>
    /// <param name="gPerL">g/L, from 0.</param>
    public string MassPerVolume(double gPerL) =>
        _us ? $"{Mass(gPerL * Unit.Gallon.Factor)} per gal" : $"{ThreeFigures(gPerL)} g/L";

    /// <summary>A density, to three figures.</summary>
    /// <param name="kgPerL">kg/L, from 0.</param>
    public string Density(double kgPerL) =>
        _us
            ? $"{ThreeFigures(kgPerL * Unit.Kilogram.Factor / Unit.Pound.Factor * Unit.Gallon.Factor)} lb/gal"
            : $"{ThreeFigures(kgPerL)} kg/L";

    /// <summary>A small volume in a large one, as of a dose.</summary>
    /// <param name="mlPerL">mL/L, from 0.</param>
    public string VolumePerVolume(double mlPerL) =>
        _us ? $"{SmallVolume(mlPerL * Unit.Gallon.Factor)} per gal" : $"{ThreeFigures(mlPerL)} mL/L";

    /// <summary>A time in hours.</summary>
    /// <param name="hours">h.</param>
    public static string Hours(double hours) => $"{Figure(hours, TwoDecimals)} h";

    /// <summary>A share.</summary>
    /// <param name="percent">%.</param>
    public static string Share(double percent) => $"{Figure(percent, OneDecimal)} %";

    /// <summary>A value on a sensor's own scale.</summary>
    /// <param name="value">The value.</param>
    public static string Raw(double value) => Figure(value, OneDecimal);

    /// <inheritdoc/>
    public override string ToString() => Word;

    private string DifferenceFigure(double kelvin) => Figure(kelvin / UnitOf(Dimension.Temperature).Factor, OneDecimal);

    private static string ThreeFigures(double value)
    {
        if (value <= 0)
            return value < 0 ? $"-{ThreeFigures(-value)}" : "0";
        var decimals = Math.Clamp(2 - (int)Math.Floor(Math.Log10(value)), 0, 15);
        return Math.Round(value, decimals).ToString("0.###############", CultureInfo.InvariantCulture);
    }

    private static string Figure(double value, string format)
    {
        var text = value.ToString(format, CultureInfo.InvariantCulture);
        return text == "-0" ? "0" : text;
    }
}
