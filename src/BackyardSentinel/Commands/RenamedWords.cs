namespace BackyardSentinel.Commands;

/// <summary>Commands and options that had another name in earlier versions. They are refused, and the message has the new name.</summary>
internal static class RenamedWords
{
    private static readonly (string Command, string Old, string New)[] All =
    [
        ("", "calibrate", "fit"),
        ("alert", "acknowledge", "seen"),
        ("alert", "snooze", "later"),
        ("alert test", "--receiver", "--to"),
        ("replay", "--tz", "--zone"),
        ("replay", "--wet-threshold", "--wet-on"),
    ];

    /// <summary>The sentence with the new name, or <c>null</c> where the word was never one of this command's.</summary>
    /// <param name="command">The command, such as <c>alert test</c>; empty for the program itself.</param>
    /// <param name="word">The word as it was given.</param>
    public static string? Sentence(string command, string word) =>
        Array.Find(All, one => one.Command == command && one.Old == word) is { New: { } now }
            ? $"'{$"{command} {word}".Trim()}' is now '{$"{command} {now}".Trim()}'."
            : null;
}
