namespace BackyardSentinel.Planning;

/// <summary>One thing against spraying in an hour.</summary>
/// <param name="Reason">What.</param>
/// <param name="Blocks"><c>true</c>: not in this hour; <c>false</c>: a better hour would be welcome.</param>
/// <param name="Sentence">The same for people, with the number.</param>
public readonly record struct HourFault(HourReason Reason, bool Blocks, string Sentence)
{
    /// <summary>The forecast lacks something that is needed, so the hour cannot be called fit.</summary>
    internal static HourFault Missing(string what) => new(HourReason.Missing, true, $"the forecast lacks {what}");
}
