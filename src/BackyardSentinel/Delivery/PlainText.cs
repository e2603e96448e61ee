using BackyardSentinel.Storage;

namespace BackyardSentinel.Delivery;

/// <summary>Makes text from outside fit for a log line.</summary>
internal static class PlainText
{
    /// <summary>
    /// One line of at most so many letters; control characters become spaces, and what would turn the direction of writing is shown as
    /// its code.
    /// </summary>
    public static string OneLine(string? text, int length)
    {
        if (string.IsNullOrEmpty(text))
            return "";
        var line = new string([
            .. text.Take(length).Select(letter => char.IsControl(letter) || letter is '\u2028' or '\u2029' ? ' ' : letter),
        ]).Trim();
        return TerminalText.Plain(text.Length > length ? line + "…" : line);
    }
}
