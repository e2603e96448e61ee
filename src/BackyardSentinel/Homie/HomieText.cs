using System.Globalization;

namespace BackyardSentinel.Homie;

/// <summary>Payloads and ids as the Homie convention, version 5, wants them (sections "Payloads" and "Topic IDs").</summary>
public static class HomieText
{
    /// <summary>The convention's stand-in for an empty string, which as such would delete the topic.</summary>
    public const string Empty = "\0";

    /// <summary>A figure to three decimals: digits, a minus and one point; <c>null</c> where it is missing or no number.</summary>
    /// <param name="value">The figure.</param>
    public static string? Figure(double? value)
    {
        if (value is not { } known || !double.IsFinite(known)) return null;
        // Adding nought turns -0 into 0.
        return (Math.Round(known, 3) + 0.0).ToString("0.###", CultureInfo.InvariantCulture);
    }

    /// <summary>A whole number.</summary>
    /// <param name="value">The number.</param>
    public static string? Whole(int? value) => value?.ToString(CultureInfo.InvariantCulture);

    /// <summary><c>true</c> or <c>false</c>.</summary>
    /// <param name="value">The truth.</param>
    public static string Boolean(bool value) => value ? "true" : "false";

    /// <summary>A moment in UTC to the second by ISO 8601.</summary>
    /// <param name="moment">The moment.</param>
    public static string? DateTime(DateTimeOffset? moment) =>
        moment?.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);

    /// <summary>A text that is known, perhaps to be empty.</summary>
    /// <param name="text">The text.</param>
    public static string Words(string text) => text.Length == 0 ? Empty : text;

    /// <summary>An id: lower case, every other letter a hyphen.</summary>
    /// <param name="text">Any text.</param>
    /// <param name="otherwise">The id for a text of which nothing is left.</param>
    public static string Id(string text, string otherwise)
    {
        var id = string.Concat(text.ToLowerInvariant().Select(c => c is >= 'a' and <= 'z' or >= '0' and <= '9' ? c : '-')).Trim('-');
        return id.Length == 0 ? otherwise : id;
    }
}
