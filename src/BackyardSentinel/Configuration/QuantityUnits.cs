using BackyardSentinel.Weather;

namespace BackyardSentinel.Configuration;

/// <summary>Which units fit which quantity; the first is the one that holds when none is given.</summary>
internal static class QuantityUnits
{
    public static Quantity? Of(string word) => word switch
    {
        "temperature" => Quantity.Temperature,
        "humidity" => Quantity.Humidity,
        "leaf-wetness" => Quantity.LeafWetness,
        "rain" => Quantity.Rain,
        "wind-speed" => Quantity.WindSpeed,
        _ => null,
    };

    public static IReadOnlyList<(string Text, SeriesUnit Unit)> For(Quantity quantity) => quantity switch
    {
        Quantity.Temperature => [("°C", SeriesUnit.Celsius), ("°F", SeriesUnit.Fahrenheit), ("K", SeriesUnit.Kelvin), ("C", SeriesUnit.Celsius), ("F", SeriesUnit.Fahrenheit)],
        Quantity.Humidity => [("%", SeriesUnit.Percent), ("fraction", SeriesUnit.Fraction)],
        Quantity.Rain => [("mm", SeriesUnit.Millimetre), ("in", SeriesUnit.Inch)],
        Quantity.WindSpeed => [("m/s", SeriesUnit.MetrePerSecond), ("km/h", SeriesUnit.KilometrePerHour), ("mph", SeriesUnit.MilePerHour), ("kn", SeriesUnit.Knot)],
        _ => [("raw", SeriesUnit.Raw), ("count", SeriesUnit.Count), ("%", SeriesUnit.Percent), ("mV", SeriesUnit.Millivolt)],
    };

    /// <summary>The units of a quantity that a forecast tells.</summary>
    public static IReadOnlyList<(string Text, SeriesUnit Unit)> ForForecast(string word) =>
        Of(word) is { } quantity ? For(quantity) : For(Quantity.Humidity);

    /// <summary>The unit under the key <c>unit</c>, which has to be one of those given.</summary>
    public static SeriesUnit Read(SectionReader keys, string word, IReadOnlyList<(string Text, SeriesUnit Unit)> units, ProblemList problems)
    {
        if (keys.Scalar("unit") is not { } scalar)
            return units[0].Unit;
        foreach (var (text, unit) in units)
        {
            if (text == scalar.Value)
                return unit;
        }

        var words = units.Select(u => u.Text).ToList();
        problems.Error(scalar, $"{word} cannot be in {ProblemList.Quote(scalar.Value)}", $"a unit of {word}: {string.Join(", ", words)}", NearestWord.Find(scalar.Value, words));
        return units[0].Unit;
    }
}
