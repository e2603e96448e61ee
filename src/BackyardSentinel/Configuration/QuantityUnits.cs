using BackyardSentinel.Garden;
using BackyardSentinel.Units;

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

    public static IReadOnlyList<(string Text, Unit Unit)> For(Quantity quantity) => quantity switch
    {
        Quantity.Temperature => Written(Dimension.Temperature, "°C", "°F", "K", "C", "F"),
        Quantity.Humidity => Written(Dimension.Share, "%", "fraction"),
        Quantity.Rain => Written(Dimension.Depth, "mm", "in"),
        Quantity.WindSpeed => Written(Dimension.Speed, "m/s", "km/h", "mph", "kn"),
        _ => [.. Written(Dimension.Raw, "raw", "count", "mV"), .. Written(Dimension.Share, "%"), .. Written(Dimension.Raw, "min", "wet-dry")],
    };

    /// <summary>The units of a rain rate.</summary>
    public static IReadOnlyList<(string Text, Unit Unit)> OfRainRate => [("mm/h", Unit.Millimetre), ("in/h", Unit.Inch)];

    /// <summary>The units of a quantity that a forecast tells.</summary>
    public static IReadOnlyList<(string Text, Unit Unit)> ForForecast(string word) =>
        Of(word) is { } quantity ? For(quantity) : For(Quantity.Humidity);

    /// <summary>The unit under the key <c>unit</c>, which has to be one of those given.</summary>
    public static Unit Read(SectionReader keys, string word, IReadOnlyList<(string Text, Unit Unit)> units, ProblemList problems)
    {
        if (keys.Scalar("unit") is not { } scalar)
            return units[0].Unit;
        foreach (var (text, unit) in units)
        {
            if (text == scalar.Value)
                return unit;
        }

        var words = units.Select(u => u.Text).ToList();
        problems.Error(
            scalar,
            $"{word} cannot be in {ProblemList.Quote(scalar.Value)}",
            $"a unit of {word}: {string.Join(", ", words)}",
            NearestWord.Find(scalar.Value, words));
        return units[0].Unit;
    }

    private static IReadOnlyList<(string Text, Unit Unit)> Written(Dimension dimension, params IEnumerable<string> words) =>
        [.. words.Select(word => (word, Unit.Find(dimension, word)!))];
}
