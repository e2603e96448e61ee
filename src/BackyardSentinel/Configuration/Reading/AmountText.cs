using System.Globalization;
using System.Text.RegularExpressions;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>
/// Amounts as labels, tapes and spray cans give them: <c>5 L</c>, <c>1 1/2 gal</c>, <c>2 fl oz</c>, <c>300 sq ft</c>, <c>40 °F</c>.
/// </summary>
public static partial class AmountText
{
    /// <summary>An amount of that dimension in the unit it is reckoned in, or <c>null</c> when the text is none.</summary>
    /// <param name="text">A number with a unit, or alone where <paramref name="bare"/> says in which unit it is then meant.</param>
    /// <param name="dimension">What is measured.</param>
    /// <param name="bare">The unit of a number without one; <c>null</c> refuses such a number.</param>
    public static double? Parse(string text, Dimension dimension, Unit? bare = null)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (Split(text) is not { } parts)
            return null;
        var unit = parts.Unit.Length == 0 ? bare : Unit.Find(dimension, parts.Unit);
        return unit?.ToReckoned(parts.Number);
    }

    /// <summary>
    /// A ratio such as <c>7.5 g/L</c>, <c>10 lb/100 gal</c>, <c>1/2 oz per gallon</c> or <c>4 kg/ha</c>, as its two halves.
    /// </summary>
    /// <param name="text">Two amounts with a slash or "per" between them.</param>
    /// <param name="upper">What may stand above; the first that fits is taken.</param>
    /// <param name="lower">What stands below.</param>
    public static (Amount Upper, double Lower)? ParseRatio(string text, ReadOnlySpan<Dimension> upper, Dimension lower)
    {
        ArgumentNullException.ThrowIfNull(text);
        var (at, length) = text.IndexOf(" per ", StringComparison.Ordinal) is >= 0 and var per ? (per, 5) : (text.LastIndexOf('/'), 1);
        if (at < 0)
            return null;
        // "per L" means per one of it.
        var below = text[(at + length)..].Trim();
        if (Parse(below.Length > 0 && char.IsAsciiLetter(below[0]) ? "1 " + below : below, lower) is not { } amount)
            return null;
        foreach (var dimension in upper)
        {
            if (Parse(text[..at], dimension) is { } above)
                return (new Amount(above, dimension), amount);
        }

        return null;
    }

    private static (double Number, string Unit)? Split(string text)
    {
        var match = Form().Match(text);
        if (!match.Success)
            return null;
        double Value(string group) =>
            match.Groups[group].Success ? double.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture) : 0;
        var number = Value("number");
        if (match.Groups["below"].Success)
            number += Value("above") / Value("below");
        return double.IsFinite(number) ? (number, match.Groups["unit"].Value) : null;
    }

    // A number, a fraction, or a number and a fraction as on a measuring cup.
    [GeneratedRegex(
        @"\A\s*((?<number>-?[0-9]{1,7}(\.[0-9]{1,9})?)|((?<number>[0-9]{1,4})\s+)?(?<above>[0-9]{1,2})/(?<below>[0-9]{1,2}))"
            + @"\s*(?<unit>[^\s0-9/][^0-9]*?[23²]?)?\s*\z",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Form();
}
