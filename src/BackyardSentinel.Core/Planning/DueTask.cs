using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>What the time of year may ask for.</summary>
public enum DueTask
{
    /// <summary>The spray after leaf fall.</summary>
    LeafFall,

    /// <summary>The spray before the leaf buds swell, the one not to miss.</summary>
    LateWinter,

    /// <summary>A repeat where rain has taken the cover off.</summary>
    Repeat,

    /// <summary>No new spray yet, but a look at the last one.</summary>
    LookAtCover,

    /// <summary>No spray: a roof that keeps the rain off, where none may be sprayed or none is wanted.</summary>
    Shelter,
}

/// <summary>The words of plans and messages.</summary>
public static class DueTaskWords
{
    /// <summary>As people read it: <c>leaf-fall spray</c>.</summary>
    public static string Word(this DueTask task) => task.Said().Text;

    /// <summary>The same, to be told in any language.</summary>
    public static Sentence Said(this DueTask task) => task switch
    {
        DueTask.LeafFall => $"leaf-fall spray",
        DueTask.LateWinter => $"late-winter spray",
        DueTask.Repeat => $"repeat spray",
        DueTask.LookAtCover => $"look at the cover",
        DueTask.Shelter => $"rain shelter",
    };

    /// <summary>It is a spray.</summary>
    public static bool IsSpray(this DueTask task) => task switch
    {
        DueTask.LeafFall or DueTask.LateWinter or DueTask.Repeat => true,
        DueTask.LookAtCover or DueTask.Shelter => false,
    };
}
