using System.Globalization;
using System.Text;

namespace BackyardSentinel.Storage;

/// <summary>Makes words from outside fit for a terminal: what would steer it, or turn the text's direction, is shown as its code.</summary>
public static class TerminalText
{
    /// <summary>The words on one line, steering characters written as <c>\uXXXX</c>.</summary>
    /// <param name="text">The words.</param>
    public static string Plain(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (!text.Any(Steers))
            return text;
        var plain = new StringBuilder(text.Length + 16);
        foreach (var letter in text)
        {
            if (Steers(letter))
                plain.Append(CultureInfo.InvariantCulture, $"\\u{(int)letter:X4}");
            else
                plain.Append(letter);
        }

        return plain.ToString();
    }

    /// <summary>Control characters, line separators, and the marks and overrides of direction (Unicode Standard Annex 9).</summary>
    private static bool Steers(char letter) =>
        char.IsControl(letter)
        || letter
            is '\u2028'
                or '\u2029'
                or '\u200E'
                or '\u200F'
                or '\u061C'
                or (>= '\u202A' and <= '\u202E')
                or (>= '\u2066' and <= '\u2069');
}
