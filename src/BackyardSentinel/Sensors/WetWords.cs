using System.Text;

namespace BackyardSentinel.Sensors;

/// <summary>The words by which a leaf-wetness sensor says that its leaf is wet or dry. Case does not count.</summary>
/// <param name="wet">The words for wet.</param>
/// <param name="dry">The words for dry.</param>
internal sealed class WetWords(IReadOnlyList<string> wet, IReadOnlyList<string> dry)
{
    /// <summary>What a wet leaf and a dry one count as, on the scale of 0 to 100 that the usual limits are made for.</summary>
    public const double Wet = 100, Dry = 0;

    private const int LongestWord = 60;

    private readonly HashSet<string> _wet = new(wet, StringComparer.OrdinalIgnoreCase), _dry = new(dry, StringComparer.OrdinalIgnoreCase);

    /// <summary>The value a word stands for; <c>null</c>: it is none of the words.</summary>
    /// <param name="utf8">The text, without quotes.</param>
    public double? Read(ReadOnlySpan<byte> utf8)
    {
        var text = utf8.Trim(" \t\r\n\0"u8);
        if (text.Length is 0 or > LongestWord)
            return null;
        var word = Encoding.UTF8.GetString(text);
        return _wet.Contains(word) ? Wet : _dry.Contains(word) ? Dry : null;
    }
}
