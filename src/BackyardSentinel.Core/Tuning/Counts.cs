namespace BackyardSentinel.Tuning;

/// <summary>What scouting made of a rule's windows, in numbers that add up; the scores are those of <see cref="Verification"/>.</summary>
/// <param name="Hits">Windows after which curl was found.</param>
/// <param name="FalseAlarms">Windows after which none was found on a tree that no protectant covered.</param>
/// <param name="Misses">Curl that came out without a window that can have brought it.</param>
/// <param name="Unverified">Windows of which nothing is known: nobody looked, or a protectant may have kept curl off.</param>
/// <param name="CorrectNegatives">Scouting that found none and belongs to no window.</param>
public readonly record struct Counts(int Hits, int FalseAlarms, int Misses, int Unverified, int CorrectNegatives)
{
    /// <summary>Cases of which it is known how they came out, and of which curl or a window is one side.</summary>
    public int Verified => Hits + FalseAlarms + Misses;

    /// <summary>Probability of detection.</summary>
    public double? Pod => Verification.PodOf(Hits, Misses);

    /// <summary>False alarm ratio.</summary>
    public double? Far => Verification.FarOf(Hits, FalseAlarms);

    /// <summary>Critical success index.</summary>
    public double? Csi => Verification.CsiOf(Hits, Misses, FalseAlarms);

    /// <summary>Peirce skill score.</summary>
    public double? Peirce => Verification.PeirceOf(Hits, Misses, FalseAlarms, CorrectNegatives);

    /// <summary>What it cost, in false alarms.</summary>
    /// <param name="missCost">What a miss costs, in false alarms.</param>
    public double Cost(double missCost) => (missCost * Misses) + FalseAlarms;

    /// <summary>Both together.</summary>
    public static Counts operator +(Counts one, Counts other) => new(
        one.Hits + other.Hits,
        one.FalseAlarms + other.FalseAlarms,
        one.Misses + other.Misses,
        one.Unverified + other.Unverified,
        one.CorrectNegatives + other.CorrectNegatives);

    /// <summary>One without the other.</summary>
    public static Counts operator -(Counts one, Counts other) => new(
        one.Hits - other.Hits,
        one.FalseAlarms - other.FalseAlarms,
        one.Misses - other.Misses,
        one.Unverified - other.Unverified,
        one.CorrectNegatives - other.CorrectNegatives);
}
