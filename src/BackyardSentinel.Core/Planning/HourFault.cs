using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>One thing against spraying in an hour.</summary>
/// <param name="Reason">What.</param>
/// <param name="Blocks"><c>true</c>: not in this hour; <c>false</c>: a better hour would be welcome.</param>
/// <param name="Sentence">The same for people, with the number.</param>
public readonly record struct HourFault(HourReason Reason, bool Blocks, Sentence Sentence)
{
    /// <summary>The sun is down.</summary>
    internal static Sentence Dark { get; } = $"dark";

    /// <summary>The sun may be down.</summary>
    internal static Sentence MayBeDark { get; } = $"without coordinates it may be dark";

    /// <summary>What is said of nights, which come every day.</summary>
    /// <param name="sentence">What speaks against an hour.</param>
    public static bool IsOfNight(Sentence sentence) => sentence == Dark || sentence == MayBeDark;

    /// <summary>The forecast lacks something that is needed, so the hour cannot be called fit.</summary>
    internal static HourFault Missing(Sentence what) => new(HourReason.Missing, true, $"the forecast lacks {what}");
}
