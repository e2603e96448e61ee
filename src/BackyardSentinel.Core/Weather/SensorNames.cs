using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Weather;

/// <summary>
/// What the names of topics and paths tell: words as makers and growers use them, in some languages (common practice, no source).
/// </summary>
internal static class SensorNames
{
    /// <summary>A quantity that a name tells.</summary>
    /// <param name="Quantity">The quantity.</param>
    /// <param name="Name">The name.</param>
    /// <param name="IsLetter">It is told by a letter or two only.</param>
    public sealed record Named(Quantity Quantity, string Name, bool IsLetter);

    private static readonly string[] TemperatureStems = ["temp", "thermo", "température", "celsius", "fahrenheit", "温度", "気温"];
    private static readonly string[] HumidityStems = ["hum", "rh", "feucht", "luftfeucht", "umid", "vlaga", "vlažn", "湿度"];
    private static readonly string[] RainStems =
        ["rain", "precip", "regen", "niederschlag", "pluie", "lluvia", "pioggia", "padavin", "dež", "tips", "tipping", "雨"];
    private static readonly string[] WindStems = ["wind", "anemo", "veter", "viento"];
    private static readonly string[] WetStems = ["wet", "nass", "näss", "moist", "humect"];
    private static readonly string[] LeafStems = ["leaf", "leaves", "blatt", "foli", "feuille", "hoja"];

    // Each with what it is instead.
    private static readonly (string[] Stems, Sentence Is)[] Others =
    [
        (["batt", "volt", "vbat", "vcc", "akku", "charge", "soc"], $"it is about the sensor's power"),
        (["rssi", "snr", "lqi", "linkqual", "signal", "wifi"], $"it is about the sensor's radio"),
        (["soil", "boden", "substrate", "earth"], $"it is of the soil"),
        (["water", "pool", "pond", "tank"], $"it is of water"),
        (["indoor", "inside", "kitchen", "cellar", "fridge", "cpu", "chip", "board", "internal"], $"it is not of the garden's air"),
        (
            ["dew", "dewpoint", "taupunkt", "frost", "heatindex", "feels", "apparent", "windchill", "chill", "vpd"],
            $"it is worked out from others, not measured"),
        (["press", "baro", "hpa", "mbar"], $"air pressure is not read"),
        (["uv", "solar", "lux", "illum", "light", "radiation", "par", "co2", "pm25", "pm10"], $"light and air quality are not read"),
        (["dir", "direction", "bearing"], $"a direction is not read"),
        (["gust", "böe"], $"a gust is not the wind's mean"),
        (["setpoint", "target", "desired", "cmd", "command"], $"it is a command or a wish, no measurement"),
        (["forecast", "predicted"], $"it is a forecast"),
        (["uptime", "fcnt", "version", "latitude", "longitude", "altitude", "heap"], $"it is about the sensor itself"),
    ];

    // These mean it only as the number's own name: a terrace may be low.
    private static readonly (string[] Words, Sentence Is)[] OwnOthers =
    [
        (["time", "timestamp", "ts", "epoch", "date", "datetime", "utc", "millis"], $"it is a time"),
        (["max", "high", "low", "avg", "average"], $"it is the extreme or the mean of a time, not what is now"),
        (["set"], $"it is a command or a wish, no measurement"),
        (["id", "seq", "channel", "port", "interval", "every", "index"], $"it is about the sensor itself"),
    ];

    private static readonly string[] Neutral =
        [
            "value", "val", "v", "state", "status", "reading", "measurement", "measured", "data", "current", "now", "raw",
            "result", "c", "f", "mm",
        ];

    /// <summary>A name that says only that something is measured, so that the names around it count.</summary>
    public static bool IsNeutral(string name) =>
        SensorWords.Of(name) is var words && (words.Count == 0 || words.TrueForAll(Neutral.Contains));

    /// <summary>Why a number is no weather of the garden that is read here; <c>null</c>: nothing says so.</summary>
    public static Sentence? Strange(IReadOnlyList<string> names)
    {
        var own = names.Count > 0 ? SensorWords.Of(names[0]) : [];
        foreach (var (words, what) in OwnOthers)
        {
            if (own.Any(words.Contains))
                return what;
        }

        // The least of a time; beside "wet" they are minutes.
        if (own.Contains("min") && !Has(own, WetStems))
            return $"it is the extreme or the mean of a time, not what is now";
        foreach (var words in names.Select(SensorWords.Of))
        {
            foreach (var (stems, what) in Others)
            {
                // Short words count whole: a partner is no "par".
                if (words.Any(word => stems.Any(stem => stem.Length > 3 ? word.StartsWith(stem, StringComparison.Ordinal) : word == stem)))
                    return what;
            }
        }

        return null;
    }

    /// <summary>What the nearest name that tells a quantity tells; <c>null</c>: none does.</summary>
    public static Named? QuantityOf(IReadOnlyList<string> names)
    {
        var ofLeaf = names.Any(IsOfLeaf);
        foreach (var name in names)
        {
            var words = SensorWords.Of(name);
            if (Has(words, WetStems) && (ofLeaf || words.Contains("wet") || words.Contains("wetness")))
                return new Named(Quantity.LeafWetness, name, false);
            if (Has(words, RainStems))
                return new Named(Quantity.Rain, name, false);
            if (Has(words, WindStems))
                return new Named(Quantity.WindSpeed, name, false);
            if (Has(words, HumidityStems))
                return new Named(Quantity.Humidity, name, false);
            if (Has(words, TemperatureStems))
                return new Named(Quantity.Temperature, name, false);
            switch (words)
            {
                case ["t"] or ["tc"] or ["tf"] or ["t", "c" or "f"] or ["t", "out" or "air"]:
                    return new Named(Quantity.Temperature, name, true);
                case ["h"] or ["h", "out" or "air"]:
                    return new Named(Quantity.Humidity, name, true);
                default:
                    break;
            }
        }

        return null;
    }

    /// <summary>It speaks of a leaf.</summary>
    public static bool IsOfLeaf(string name) => Has(SensorWords.Of(name), LeafStems);

    /// <summary>A name has one of these words.</summary>
    public static bool Has(IReadOnlyList<string> names, params ReadOnlySpan<string> words)
    {
        foreach (var word in names.SelectMany(SensorWords.Of))
        {
            foreach (var wanted in words)
            {
                if (word == wanted)
                    return true;
            }
        }

        return false;
    }

    /// <summary>The unit of a text, and whether it is so much in an hour.</summary>
    public static (Unit? Unit, bool PerHour) UnitOf(string? text)
    {
        if (text?.Trim() is not { Length: > 0 } unit)
            return (null, false);
        foreach (var end in (ReadOnlySpan<string>)["/h", "/hr", " per hour"])
        {
            if (unit.EndsWith(end, StringComparison.Ordinal) && Unit.Find(Dimension.Depth, unit[..^end.Length]) is { } depth)
                return (depth, true);
        }

        ReadOnlySpan<Dimension> asked = [Dimension.Temperature, Dimension.Share, Dimension.Depth, Dimension.Speed, Dimension.Raw];
        foreach (var dimension in asked)
        {
            if (Unit.Find(dimension, unit) is { } found)
                return (found, false);
        }

        return (null, false);
    }

    /// <summary>The unit that stands in a name, such as <c>temp_F</c> or <c>wind_km_h</c>; <c>null</c>: none.</summary>
    /// <param name="quantity">What is measured.</param>
    /// <param name="name">The name.</param>
    /// <param name="perHour">It is so much in an hour.</param>
    public static Unit? UnitIn(Quantity quantity, string name, out bool perHour)
    {
        var words = SensorWords.Of(name);
        perHour = words.Contains("rate") || words is [.., "mm" or "in", "h" or "hr"] || words.Contains("mmh");
        if (quantity == Quantity.Temperature)
            return words switch
            {
                [.., "celsius"] or [_, .., "c"] or ["tc"] or ["tempc"] => Unit.Celsius,
                [.., "fahrenheit"] or [_, .., "f"] or ["tf"] or ["tempf"] => Unit.Fahrenheit,
                [.., "kelvin"] or [_, .., "k"] => Unit.Kelvin,
                _ => null,
            };
        if (quantity == Quantity.Humidity)
            return name.Contains('%', StringComparison.Ordinal) || words is [.., "pct" or "percent"] ? Unit.Percent : null;
        if (quantity == Quantity.Rain)
            return words.Contains("mm") || words.Contains("mmh") ? Unit.Millimetre
                : words is [.., "in" or "inch" or "inches"] or [.., "in", "h" or "hr"] ? Unit.Inch
                : null;
        if (quantity == Quantity.WindSpeed)
            return words switch
            {
                [.., "m", "s"] or [.., "ms" or "mps"] => Unit.MetrePerSecond,
                [.., "km", "h"] or [.., "kmh" or "kph"] => Unit.KilometrePerHour,
                [.., "mi", "h"] or [.., "mph"] => Unit.MilePerHour,
                [.., "kn" or "kt" or "kts" or "knots"] => Unit.Knot,
                _ => null,
            };
        return words.Contains("min") || words.Contains("minutes") ? Unit.Minute
            : words.Contains("mv") ? Unit.Millivolt
            : name.Contains('%', StringComparison.Ordinal) || words.Contains("pct") || words.Contains("percent") ? Unit.Percent
            : null;
    }

    private static bool Has(List<string> words, string[] stems) =>
        words.Any(word => stems.Any(stem => stem.Length > 2 ? word.StartsWith(stem, StringComparison.Ordinal) : word == stem));
}
