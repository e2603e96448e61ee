namespace BackyardSentinel.Infection;

/// <summary>Levels as people and topics see them: word and pattern; colour only repeats these.</summary>
public static class LevelWords
{
    /// <summary>All words, from unknown to severe.</summary>
    public static IReadOnlyList<string> All { get; } = [.. Enum.GetValues<Level>().Order().Select(Word)];

    /// <summary>The level's word in lower case.</summary>
    public static string Word(this Level level) => level switch
    {
        Level.Clear => "clear",
        Level.Building => "building",
        Level.Possible => "possible",
        Level.Likely => "likely",
        Level.Severe => "severe",
        Level.Unknown => "unknown",
    };

    /// <summary>One character: a bar that fills with the level, a question mark for unknown.</summary>
    public static char Bar(this Level level) => level switch
    {
        Level.Clear => '·',
        Level.Building => '▁',
        Level.Possible => '▃',
        Level.Likely => '▅',
        Level.Severe => '█',
        Level.Unknown => '?',
    };
}
