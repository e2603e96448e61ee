using System.Globalization;

namespace BackyardSentinel.Logs;

/// <summary>Pieces of a log as messages may show them.</summary>
internal static class LogExcerpt
{
    /// <summary>The start of a text as a message may show it.</summary>
    internal static string Of(ReadOnlySpan<char> text) => OneLine(text.Length > 40 ? $"{text[..40]}…" : text.ToString());

    /// <summary>A text without what moves a terminal's cursor.</summary>
    internal static string OneLine(string text) => string.Concat(text.Select(c => Steers(c) ? ' ' : c));

    /// <summary>Characters that move a terminal's cursor or turn its writing round.</summary>
    internal static bool Steers(char c) => char.IsControl(c)
        || char.GetUnicodeCategory(c) is UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator;
}
