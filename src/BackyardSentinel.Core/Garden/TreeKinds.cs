namespace BackyardSentinel.Garden;

/// <summary>The kinds of tree that are judged: those on which peach leaf curl lives. Sources disagree about apricot.</summary>
public static class TreeKinds
{
    /// <summary>The word of each, in the garden file and everywhere else.</summary>
    public static IReadOnlyList<string> All { get; } = ["peach", "nectarine", "almond", "apricot"];
}
