using BackyardSentinel.Garden;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Scouting;

/// <summary>What to look for and what to do about it.</summary>
public static class ScoutingAdvice
{
    /// <summary>How to look.</summary>
    public static Sentence HowToLook =>
        $"Look at 20 shoots from all sides of the tree and count those with curl. Look from the ground; leave the ladder.";

    /// <summary>Care of a tree that has lost many leaves: Utah State, Illinois and University of California extension texts.</summary>
    public static IReadOnlyList<Sentence> CareAfterDefoliation { get; } =
    [
        $"Thin the fruit more than in other years, and later, when it is clear what the tree can carry.",
        $"Water it through dry weeks; it must grow its leaves a second time.",
        $"Some extra nitrogen, as its label says, helps the second flush; not after the middle of June in the north (from memory), "
            + $"or shoots do not ripen.",
        $"Shade or mulch keeps bared limbs and roots from the sun.",
        $"Spraying now does nothing against curl; plan the dormant sprays.",
    ];

    /// <summary>The band of so many curled shoots.</summary>
    /// <param name="shoots">Shoots looked at, above 0.</param>
    /// <param name="curled">Of these, with curl, 0 to <paramref name="shoots"/>.</param>
    public static SeverityBand BandOf(int shoots, int curled)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(shoots);
        ArgumentOutOfRangeException.ThrowIfNegative(curled);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(curled, shoots);
        // In whole numbers, so that 5 of 100 and 1 of 20 are the same 5 %.
        var hundredfold = 100L * curled;
        return curled == 0 ? SeverityBand.None
            : hundredfold <= 5L * shoots ? SeverityBand.Trace
            : hundredfold <= 25L * shoots ? SeverityBand.Light
            : hundredfold <= 50L * shoots ? SeverityBand.Moderate
            : SeverityBand.Heavy;
    }

    /// <summary>
    /// What a finding asks for, a sentence each. Sources disagree on picking: British and Hamburg advice is for it,
    /// Bavarian doubts that it is enough, University of California sees no gain shown.
    /// </summary>
    /// <param name="entry">What was seen.</param>
    public static IReadOnlyList<Sentence> For(ScoutEntry entry) => [.. Sentences(entry, BandOf(entry.Shoots, entry.Curled))];

    private static IEnumerable<Sentence> Sentences(ScoutEntry entry, SeverityBand band)
    {
        if (band == SeverityBand.None)
        {
            yield return $"No curl among these shoots; look again within the days in which it may still show.";
            yield break;
        }

        switch (entry.Symptom)
        {
            case SymptomStage.WhiteBloom:
                yield return $"The white bloom sheds spores: it is too late for picking to keep them off the tree.";
                break;
            case SymptomStage.Dropping:
                yield return $"Leaves drop by themselves now, and a healthy second flush follows; picking changes nothing.";
                break;
            case null when band < SeverityBand.Moderate:
                yield return $"Look how far it is: picking makes sense only before the white bloom shows.";
                yield return Picking;
                break;
            case SymptomStage.Puckered or SymptomStage.Curled when band < SeverityBand.Moderate:
                yield return $"The white bloom has not come yet: on a small tree curled leaves can be picked from the ground now, "
                    + $"if you wish, and put where no spore gets back.";
                yield return Picking;
                break;
            default:
                break; // Hit too hard for picking, said below.
        }

        if (band >= SeverityBand.Moderate)
            yield return $"Do not strip a tree that is hit this hard: it needs every green part that is left.";
        if (band >= SeverityBand.Moderate || entry.Symptom == SymptomStage.Dropping)
        {
            foreach (var care in CareAfterDefoliation)
                yield return care;
        }
    }

    private static Sentence Picking => $"Sources disagree whether picking lowers next year's curl; it never replaces the dormant spray.";
}
