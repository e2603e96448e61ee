using System.Text.RegularExpressions;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Logs;

/// <summary>A column's head that may say its unit: <c>Temp (°F)</c>, <c>Rain [in]</c>, <c>RH %</c>, <c>wind_mph</c>.</summary>
/// <param name="Text">The head as it stands.</param>
internal sealed partial record LogHead(string Text)
{
    /// <summary>The names by which loggers and spreadsheets usually call what is measured (common practice, no source).</summary>
    private static string[] UsualNames(Quantity quantity) => quantity switch
    {
        Quantity.Temperature =>
        [
            "temp",
            "temperature",
            "air temp",
            "air temperature",
            "outdoor temp",
            "outdoor temperature",
            "outside temp",
            "outside temperature",
        ],
        Quantity.Humidity => ["rh", "hum", "humidity", "relative humidity", "air humidity", "outdoor humidity", "outside humidity"],
        Quantity.LeafWetness => ["leaf wetness"],
        Quantity.Rain => ["rain", "rainfall", "precip", "precipitation"],
        Quantity.WindSpeed => ["wind", "wind speed", "windspeed"],
        Quantity.LeafWetnessUnderShelter => ["leaf wetness under shelter"],
    };

    /// <summary>The name and what follows it as a unit, in each way in which the head can be cut.</summary>
    private IEnumerable<(string Name, string Unit, bool IsSetOff)> Cuts()
    {
        if (SetOff().Match(Text) is { Success: true } set)
        {
            yield return (set.Groups["name"].Value, set.Groups["unit"].Value.Trim(), true);
            yield break;
        }

        for (var at = Text.Length - 1; at > 0; at--)
        {
            if (Text[at] is ' ' or '_' || Text[at] is '°' or '%')
                yield return (Text[..at], Text[at..].TrimStart(' ', '_'), false);
        }
    }

    /// <summary>The unit that the head says for a quantity; <c>null</c>: it says none.</summary>
    public Unit? UnitFor(QuantityFacts of) => Cuts().Select(cut => UnitIn(of, cut.Unit)).FirstOrDefault(unit => unit is not null);

    /// <summary>What stands in brackets or behind a comma and is no unit for the quantity; <c>null</c>: there is nothing such.</summary>
    public string? OddUnitFor(QuantityFacts of) =>
        Cuts().FirstOrDefault(cut => cut.IsSetOff && cut.Unit.Length > 0 && UnitIn(of, cut.Unit) is null).Unit;

    /// <summary>The head is a usual name of the quantity, with or without a unit behind it; without one, of the time.</summary>
    public bool IsUsualFor(QuantityFacts? of)
    {
        if (of is null)
            return Plain(Text) is "timestamp" or "datetime" or "date time" or "date/time";
        var names = UsualNames(of.Quantity);
        return names.Contains(Plain(Text))
            || Cuts().Any(cut => names.Contains(Plain(cut.Name)) && (cut.IsSetOff || UnitIn(of, cut.Unit) is not null));
    }

    /// <summary>The units in which a quantity is read, as a sentence lists them: no log has a share for humidity.</summary>
    public static string UnitsOf(QuantityFacts of) =>
        string.Join(", ", of.Units.Where(unit => unit != Unit.Fraction).Select(unit => unit.Symbol));

    private static Unit? UnitIn(QuantityFacts of, string text)
    {
        var word = Degrees().Replace(text, "").Trim().TrimEnd('.');
        var known = of.Dimension is var dimension && dimension == Dimension.Raw && text == "%" ? Unit.Percent
            : dimension == Dimension.Speed && word.Equals("ms", StringComparison.OrdinalIgnoreCase) ? Unit.MetrePerSecond
            : dimension == Dimension.Share && word.Equals("pct", StringComparison.OrdinalIgnoreCase) ? Unit.Percent
            : new[] { text, word, word.ToUpperInvariant(), word.ToLowerInvariant() }
                .Select(one => Unit.Find(dimension, one))
                .FirstOrDefault(unit => unit is not null);
        return known == Unit.Fraction ? null : known;
    }

    private static string Plain(string name) => Spaces().Replace(name.Replace('_', ' ').Replace('-', ' '), " ").Trim().ToLowerInvariant();

    [GeneratedRegex(
        @"^(?<name>[^()\[\],]*?)\s*(\((?<unit>[^()]*)\)|\[(?<unit>[^\[\]]*)\]|,(?<unit>[^(),\[\]]*))\s*$", RegexOptions.CultureInvariant)]
    private static partial Regex SetOff();

    [GeneratedRegex(@"°|\bdeg(rees?)?\b\s*", RegexOptions.CultureInvariant | RegexOptions.IgnoreCase)]
    private static partial Regex Degrees();

    [GeneratedRegex(@"\s+", RegexOptions.CultureInvariant)]
    private static partial Regex Spaces();
}
