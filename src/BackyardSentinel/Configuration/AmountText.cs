using System.Globalization;
using System.Text.RegularExpressions;

namespace BackyardSentinel.Configuration;

/// <summary>
/// Amounts as labels and spray cans write them: <c>5 L</c>, <c>2 fl oz</c>, <c>40 °F</c>. The customary US units have their
/// exact values of NIST Handbook 44, Appendix C, and of the international pound, foot and mile of 1959.
/// </summary>
public static partial class AmountText
{
    private static readonly Dictionary<string, (AmountKind Kind, double Factor)> Units = new(StringComparer.Ordinal)
    {
        ["L"] = (AmountKind.Volume, 1),
        ["l"] = (AmountKind.Volume, 1),
        ["mL"] = (AmountKind.Volume, 0.001),
        ["ml"] = (AmountKind.Volume, 0.001),
        ["gal"] = (AmountKind.Volume, 3.785411784),
        ["fl oz"] = (AmountKind.Volume, 0.0295735295625),
        ["tbsp"] = (AmountKind.Volume, 0.01478676478125),
        ["g"] = (AmountKind.Mass, 1),
        ["kg"] = (AmountKind.Mass, 1000),
        ["oz"] = (AmountKind.Mass, 28.349523125),
        ["lb"] = (AmountKind.Mass, 453.59237),
        ["m²"] = (AmountKind.Area, 1),
        ["ha"] = (AmountKind.Area, 10_000),
        ["acre"] = (AmountKind.Area, 4046.8564224),
        ["m/s"] = (AmountKind.Speed, 1),
        ["km/h"] = (AmountKind.Speed, 1 / 3.6),
        ["mph"] = (AmountKind.Speed, 0.44704),
    };

    /// <summary>The amount, or <c>null</c> when the text is no number with a known unit.</summary>
    public static Amount? Parse(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (Split(text) is not { } parts)
            return null;
        if (Units.TryGetValue(parts.Unit, out var unit))
            return new Amount(parts.Number * unit.Factor, unit.Kind);
        return parts.Unit switch
        {
            "°C" or "C" or "" => new Amount(parts.Number, AmountKind.Temperature),
            "°F" or "F" => new Amount((parts.Number - 32) / 1.8, AmountKind.Temperature),
            _ => null,
        };
    }

    /// <summary>A ratio such as <c>7.5 g/L</c>, <c>10 lb/100 gal</c> or <c>4 kg/ha</c>, as its two halves.</summary>
    public static (Amount Upper, Amount Lower)? ParseRatio(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var slash = text.IndexOf('/', StringComparison.Ordinal);
        if (slash < 0 || Parse(text[..slash]) is not { } upper)
            return null;
        // "per L" means per one of it.
        var below = text[(slash + 1)..].Trim();
        return Parse(below.Length > 0 && char.IsAsciiLetter(below[0]) ? "1 " + below : below) is { } lower ? (upper, lower) : null;
    }

    private static (double Number, string Unit)? Split(string text)
    {
        var match = Form().Match(text);
        return match.Success
            ? (double.Parse(match.Groups["number"].Value, CultureInfo.InvariantCulture), match.Groups["unit"].Value)
            : null;
    }

    [GeneratedRegex(@"\A\s*(?<number>-?[0-9]{1,7}(\.[0-9]{1,9})?)\s*(?<unit>[^\s0-9][^0-9]*?)?\s*\z", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Form();
}
