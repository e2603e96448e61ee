namespace BackyardSentinel.Web;

/// <summary>What cannot be shown, why, and what to do.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Headline">What.</param>
/// <param name="Remedy">What to do.</param>
public sealed record FaultView(Leaf Leaf, string Headline, string Remedy);
