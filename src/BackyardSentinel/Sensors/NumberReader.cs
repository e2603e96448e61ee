using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Unicode;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>
/// Reads a number the same way on every machine. The framework's default would turn "21,5" into 215 and let
/// "Infinity" through, so the grammar is checked here first: sign, digits, point, exponent and nothing else.
/// </summary>
public static class NumberReader
{
    /// <summary>Longer texts are no sensor's number.</summary>
    private const int LongestText = 128;

    private static readonly string[] Missing =
        ["nan", "null", "none", "-", "--", "n/a", "na", "unknown", "unavailable", "offline", "online", "error"];

    /// <summary>The text is one of the marks for "no value", the same for messages and logs; case does not count.</summary>
    public static bool IsMissing(ReadOnlySpan<char> text)
    {
        if (text.IsEmpty)
            return true;
        foreach (var word in Missing)
        {
            if (text.Equals(word, StringComparison.OrdinalIgnoreCase))
                return true;
        }

        return false;
    }

    /// <summary>Reads a number from a text.</summary>
    /// <param name="text">The text.</param>
    /// <param name="decimalComma">A comma is the decimal mark.</param>
    public static NumberResult Read(string text, bool decimalComma = false) => Read(Encoding.UTF8.GetBytes(text), decimalComma);

    /// <summary>Reads a number from UTF-8 bytes, such as a payload; one with a unit behind it is refused.</summary>
    /// <param name="utf8">The bytes; spaces, line ends, tabs and NULs around the number are ignored.</param>
    /// <param name="decimalComma">A comma is the decimal mark.</param>
    public static NumberResult Read(ReadOnlySpan<byte> utf8, bool decimalComma = false)
    {
        var number = Read(utf8, decimalComma, out var unit);
        return unit.IsEmpty
            ? number
            : NumberResult.Refuse($"{Quoted(utf8.Trim(Blanks))} carries the unit {Quoted(unit)}; a bare number is needed");
    }

    /// <summary>Reads a number that may have a unit behind it, as in <c>12.4 °C</c> and <c>80%</c>.</summary>
    /// <param name="utf8">The bytes; spaces, line ends, tabs and NULs around the number are ignored.</param>
    /// <param name="decimalComma">A comma is the decimal mark.</param>
    /// <param name="unit">What stands behind the number and may be a unit; empty where nothing does.</param>
    public static NumberResult Read(ReadOnlySpan<byte> utf8, bool decimalComma, out ReadOnlySpan<byte> unit)
    {
        unit = default;
        var text = utf8.Trim(Blanks);
        if (text.IsEmpty)
            return NumberResult.None($"the value is empty");
        if (text.Length > LongestText)
            return NumberResult.Refuse($"{text.Length} bytes are too many for a number");
        foreach (var word in Missing)
        {
            if (Ascii.EqualsIgnoreCase(text, word))
                return NumberResult.None($"the sensor says {new Name($"\"{word}\"")}");
        }

        if (text.Contains((byte)','))
        {
            if (text.Contains((byte)'.') || text.Count((byte)',') > 1)
                return NumberResult.Refuse($"{Quoted(text)} mixes marks: which one is decimal is anyone's guess");
            if (!decimalComma)
                return NumberResult.Refuse($"{Quoted(text)} has a comma; say decimal_comma for this series if it is a decimal mark");
            var pointed = text.ToArray();
            pointed[text.IndexOf((byte)',')] = (byte)'.';
            text = pointed;
        }
        else if (decimalComma && text.IndexOf((byte)'.') is >= 0 and var point && Digits(text, point + 1) == 3)
        {
            return NumberResult.Refuse($"{Quoted(text)} may be thousands in a series whose decimal mark is a comma");
        }

        var length = LengthOfNumber(text);
        if (length == 0)
            return NumberResult.Refuse(NotANumber(text));
        if (length < text.Length)
        {
            if (text.StartsWith("0x"u8) || text.StartsWith("0X"u8))
                return NumberResult.Refuse($"{Quoted(text)} is written in hexadecimal, and such bytes are not decoded");
            var rest = text[length..].TrimStart((byte)' ');
            if (!IsText(rest))
                return NumberResult.Refuse(NotANumber(rest));
            if (!LooksLikeUnit(rest[0]))
                return NumberResult.Refuse($"{Quoted(text)} is a number followed by {Quoted(rest)}");
            unit = rest;
        }

        const NumberStyles plain = NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent;
        if (!double.TryParse(text[..length], plain, CultureInfo.InvariantCulture, out var value))
            return NumberResult.Refuse(NotANumber(text));
        return double.IsFinite(value) ? NumberResult.Of(value) : NumberResult.Refuse($"{Quoted(text)} is beyond any number's range");
    }

    /// <summary>The text is a word: letters first, and nothing that is no text.</summary>
    internal static bool IsWord(ReadOnlySpan<byte> utf8) =>
        utf8.Trim(Blanks) is [var first, ..] text && IsText(text) && (first >= 0x80 || char.IsAsciiLetter((char)first));

    /// <summary>Bytes in a message as a name.</summary>
    /// <param name="utf8">The bytes.</param>
    internal static Name Quoted(ReadOnlySpan<byte> utf8) => new(Quote(utf8));

    /// <summary>Shows bytes in a message: at most 40, anything unprintable as a question mark.</summary>
    /// <param name="utf8">The bytes.</param>
    internal static string Quote(ReadOnlySpan<byte> utf8)
    {
        var shown = Encoding.UTF8.GetString(utf8[..Math.Min(utf8.Length, 40)]);
        var clean = string.Create(shown.Length, shown, (span, source) =>
        {
            for (var i = 0; i < span.Length; i++) span[i] = char.IsControl(source[i]) || source[i] == '\uFFFD' ? '?' : source[i];
        });
        return utf8.Length > 40 ? $"\"{clean}…\"" : $"\"{clean}\"";
    }

    private static ReadOnlySpan<byte> Blanks => [(byte)' ', (byte)'\t', (byte)'\r', (byte)'\n', 0];

    private static Sentence NotANumber(ReadOnlySpan<byte> text) =>
        IsText(text) ? (Sentence)$"{Quoted(text)} is not a number" : $"the message is not UTF-8 text, and other bytes are not decoded";

    /// <summary>Valid UTF-8 without control characters but those of terminals' colours.</summary>
    private static bool IsText(ReadOnlySpan<byte> text) => Utf8.IsValid(text) && !text.ContainsAny(NoText);

    private static readonly SearchValues<byte> NoText = SearchValues.Create([0, 1, 2, 3, 4, 5, 6, 7, 8, 11, 12, 14, 15, 16, 17, 18, 19]);

    private static bool LooksLikeUnit(byte first) =>
        first is (byte)'%' or >= 0x80 or >= (byte)'a' and <= (byte)'z' or >= (byte)'A' and <= (byte)'Z';

    /// <summary>Length of the longest number at the start; 0 if there is none.</summary>
    private static int LengthOfNumber(ReadOnlySpan<byte> text)
    {
        var at = text[0] is (byte)'+' or (byte)'-' ? 1 : 0;
        var whole = Digits(text, at);
        at += whole;
        var fraction = 0;
        if (at < text.Length && text[at] == '.')
        {
            fraction = Digits(text, at + 1);
            at += 1 + fraction;
        }

        if (whole + fraction == 0)
            return 0;
        if (at < text.Length && text[at] is (byte)'e' or (byte)'E')
        {
            var sign = at + 1 < text.Length && text[at + 1] is (byte)'+' or (byte)'-' ? 1 : 0;
            var exponent = Digits(text, at + 1 + sign);
            if (exponent > 0) at += 1 + sign + exponent;
        }

        return at;
    }

    private static int Digits(ReadOnlySpan<byte> text, int from)
    {
        var at = from;
        while (at < text.Length && text[at] is >= (byte)'0' and <= (byte)'9') at++;
        return at - from;
    }
}
