using System.Text.RegularExpressions;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Logs;

/// <summary>A column's head that may say its unit: <c>Temp (°F)</c>, <c>Rain [in]</c>, <c>RH %</c>, <c>wind_mph</c>.</summary>
/// <param name="Text">The head as it stands.</param>
internal sealed partial record LogHead(string Text)
{
    /// <summary>The names by which loggers and spreadsheets usually call what is measured (common practice, no source).</summary>
    private static readonly Dictionary<string, string[]> UsualNames = new(StringComparer.Ordinal)
    {
        ["time"] = ["timestamp", "datetime", "date time", "date/time"],
        ["temperature"] =
        [
            "temp", "temperature", "air temp", "air temperature", "outdoor temp", "outdoor temperature", "outside temp", "outside temperature",
        ],
        ["humidity"] = ["rh", "hum", "humidity", "relative humidity", "air humidity", "outdoor humidity", "outside humidity"],
        ["leaf-wetness"] = ["leaf wetness"],
        ["rain"] = ["rain", "rainfall", "precip", "precipitation"],
        ["wind-speed"] = ["wind", "wind speed", "windspeed"],
        ["leaf-wetness-under-shelter"] = ["leaf wetness under shelter"],
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

    /// <summary>The unit that the head says for a role; <c>null</c>: it says none.</summary>
    /// <param name="role">The role: a quantity's word.</param>
    public Unit? UnitFor(string role) => Cuts().Select(cut => UnitIn(role, cut.Unit)).FirstOrDefault(unit => unit is not null);

    /// <summary>What stands in brackets or behind a comma and is no unit for the role; <c>null</c>: there is nothing such.</summary>
    /// <param name="role">The role: a quantity's word.</param>
    public string? OddUnitFor(string role) =>
        Cuts().FirstOrDefault(cut => cut.IsSetOff && cut.Unit.Length > 0 && UnitIn(role, cut.Unit) is null).Unit;

    /// <summary>The head is a usual name of the role, with or without a unit behind it.</summary>
    /// <param name="role">A role of <see cref="LogColumns.Defaults"/>.</param>
    public bool IsUsualFor(string role)
    {
        var names = UsualNames[role];
        return names.Contains(Plain(Text))
            || (role != "time" && Cuts().Any(cut => names.Contains(Plain(cut.Name)) && (cut.IsSetOff || UnitIn(role, cut.Unit) is not null)));
    }

    /// <summary>The units in which a role is read, as a sentence lists them.</summary>
    /// <param name="role">The role: a quantity's word.</param>
    public static string UnitsOf(string role) =>
        role == "humidity" ? Unit.Percent.Symbol : string.Join(", ", QuantityOf(role).Units.Select(unit => unit.Symbol));

    private static QuantityFacts QuantityOf(string role) => Quantities.All.First(facts => facts.Word == role);

    private static Unit? UnitIn(string role, string text)
    {
        if (role == "time")
            return null;
        var word = Degrees().Replace(text, "").Trim().TrimEnd('.');
        var known = QuantityOf(role).Dimension is var dimension && dimension == Dimension.Raw && text == "%" ? Unit.Percent
            : dimension == Dimension.Speed && word.Equals("ms", StringComparison.OrdinalIgnoreCase) ? Unit.MetrePerSecond
            : dimension == Dimension.Share && word.Equals("pct", StringComparison.OrdinalIgnoreCase) ? Unit.Percent
            : new[] { text, word, word.ToUpperInvariant(), word.ToLowerInvariant() }
                .Select(one => Unit.Find(dimension, one))
                .FirstOrDefault(unit => unit is not null);
        return known == Unit.Fraction ? null : known;
    }

    private static string Plain(string name) => Spaces().Replace(name.Replace('_', ' ').Replace('-', ' '), " ").Trim().ToLowerInvariant();

    [GeneratedRegex(@"^(?<name>[^()\[\],]*?)\s*(\((?<unit>[^()]*)\)|\[(?<unit>[^\[\]]*)\]|,(?<unit>[^(),\[\]]*))\s*$", RegexOptions.CultureInvariant)]
    private static partial Regex SetOff();

    [GeneratedRegex(@"°|\bdeg(rees?)?\b\s*", RegexOptions.CultureInvariant | RegexOptions.IgnoreCase)]
    private static partial Regex Degrees();

    [GeneratedRegex(@"\s+", RegexOptions.CultureInvariant)]
    private static partial Regex Spaces();
}
