using System.Globalization;
using System.Text.RegularExpressions;

namespace BackyardSentinel.Configuration.Reading;

/// <summary>Durations as the garden file writes them: <c>30s</c>, <c>10m</c>, <c>1h30m</c>.</summary>
internal static partial class DurationText
{
    /// <summary>The duration, or <c>null</c> when the text is none.</summary>
    public static TimeSpan? Parse(string text)
    {
        var match = Form().Match(text);
        if (!match.Success || text.Length == 0)
            return null;
        // Six digits of each unit stay far inside the range of a TimeSpan.
        return new TimeSpan(Part(match, "h"), Part(match, "m"), Part(match, "s"));
    }

    private static int Part(Match match, string unit) =>
        match.Groups[unit] is { Success: true } group ? int.Parse(group.Value, CultureInfo.InvariantCulture) : 0;

    [GeneratedRegex(
        @"\A((?<h>[0-9]{1,6})h)?((?<m>[0-9]{1,6})m)?((?<s>[0-9]{1,6})s)?\z",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture
    )]
    private static partial Regex Form();
}
