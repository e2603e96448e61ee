using BackyardSentinel.Wording;

namespace BackyardSentinel.Garden;

/// <summary>The kinds of tree that are judged: those on which peach leaf curl lives. Sources disagree about apricot.</summary>
public enum TreeKind
{
    /// <summary>Peach.</summary>
    Peach,

    /// <summary>Nectarine.</summary>
    Nectarine,

    /// <summary>Almond.</summary>
    Almond,

    /// <summary>Apricot.</summary>
    Apricot,
}

/// <summary>The one word of each kind, in the garden file and everywhere else.</summary>
public static class TreeKinds
{
    /// <summary>All words.</summary>
    public static IReadOnlyList<string> Words { get; } = [.. Enum.GetValues<TreeKind>().Select(Word)];

    /// <summary>The kind's word.</summary>
    public static string Word(this TreeKind kind) => kind switch
    {
        TreeKind.Peach => "peach",
        TreeKind.Nectarine => "nectarine",
        TreeKind.Almond => "almond",
        TreeKind.Apricot => "apricot",
    };

    /// <summary>The same for people.</summary>
    public static Sentence Said(this TreeKind kind) => kind switch
    {
        TreeKind.Peach => $"peach",
        TreeKind.Nectarine => $"nectarine",
        TreeKind.Almond => $"almond",
        TreeKind.Apricot => $"apricot",
    };
}
