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
}
