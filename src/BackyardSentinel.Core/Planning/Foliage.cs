using BackyardSentinel.Garden;
using BackyardSentinel.Wording;
using static System.FormattableString;

namespace BackyardSentinel.Planning;

/// <summary>
/// Whether a tree still holds the leaves of the summer. By its buds it is dormant from the first day of the season on, months before it is
/// bare; what is sprayed on leaves then burns them and does nothing against curl (common practice, no source).
/// </summary>
internal static class Foliage
{
    /// <summary>Share of the leaves down from which a tree counts as bare, %: half to nearly all, sources disagree. Assumed.</summary>
    public const double EnoughFallenPct = 50;

    /// <summary>Days into the season at which leaves are guessed to fall, where the journal does not say. Assumed.</summary>
    public const int GuessedFallDay = 90;

    /// <summary>Days into the season from which a tree of which nothing is noted may be bare. Assumed.</summary>
    public const int FirstBareDay = 60;

    /// <summary>The last note of leaf fall of this season, up to today.</summary>
    /// <param name="planting">The planting.</param>
    /// <param name="seasonStart">The season's first day.</param>
    /// <param name="today">Today.</param>
    public static LeafFallEntry? Noted(PlanPlanting planting, DateOnly seasonStart, DateOnly today) =>
        planting.LeafFall is { } entry && entry.On >= seasonStart && entry.On <= today ? entry : null;

    /// <summary>Until when the tree counts as in leaf, and why; <c>null</c>: it does not.</summary>
    /// <inheritdoc cref="Noted"/>
    public static (DateOnly Until, Sentence Why)? InLeaf(PlanPlanting planting, DateOnly seasonStart, DateOnly today)
    {
        if (IsSeenOtherwise(planting))
            return null;
        var noted = Noted(planting, seasonStart, today);
        var until = seasonStart.AddDays(noted is null ? FirstBareDay : GuessedFallDay);
        return noted is { FallenPct: >= EnoughFallenPct } || today >= until ? null
            : (until, noted is null
                ? (Sentence)($"leaves are taken to be on until {until}: a spray burns them and does nothing against curl; "
                    + $"note when half are down")
                : Wait(noted));
    }

    /// <summary>Nobody has noted that the leaves are down, and they may not be.</summary>
    /// <inheritdoc cref="Noted"/>
    public static bool MayBeInLeaf(PlanPlanting planting, DateOnly seasonStart, DateOnly today) =>
        !IsSeenOtherwise(planting) && Noted(planting, seasonStart, today) is null && today < seasonStart.AddDays(GuessedFallDay);

    /// <summary>How many leaves were down, as a sentence part.</summary>
    /// <param name="fallen">The note.</param>
    public static Sentence Down(LeafFallEntry fallen) =>
        $"{new Figure(Invariant($"{fallen.FallenPct:0} %"))} of the leaves were down on {fallen.On}";

    /// <summary>That too few were down, as a sentence part.</summary>
    /// <param name="fallen">The note.</param>
    public static Sentence Wait(LeafFallEntry fallen) => $"{Down(fallen)}; wait until half to nearly all are";

    /// <summary>Buds that were seen, or have moved: then the stage tells.</summary>
    private static bool IsSeenOtherwise(PlanPlanting planting) =>
        planting.Stage is { } code && (planting.StageIsSeen || !SprayStage.IsDormant(code));
}
