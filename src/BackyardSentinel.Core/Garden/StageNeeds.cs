using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace BackyardSentinel.Garden;

/// <summary>What a variety needs: chill first, then warmth for one stage after the other.</summary>
public sealed class StageNeeds
{
    /// <summary>
    /// A nectarine of middling chill, published by Miranda, Santesteban and Royo 2013, Agricultural and Forest Meteorology
    /// 178–179, 129–139 (the figures as a public data set gives them, the paper not being at hand): 62.5 chill portions
    /// from 1 November, then degree hours above 4.7 °C: 786 for swollen flower buds, 1385, 2557, 4016 for the beginning
    /// and 5518 for the end of bloom. ASSUMED are the codes of 1385 and 2557, all codes of leaf buds, full bloom half-way
    /// through bloom, and the spread of ±10 % (the published error was about 4 days).
    /// </summary>
    public static StageNeeds Default { get; } = new(
        ChillModel.Portions,
        62.5,
        HeatFunction.Linear47,
        [Need(1, 51, 786), Need(3, 53, 1385), Need(9, 57, 2557), Need(10, 60, 4016), Need(11, 65, 4767), Need(19, 69, 5518)],
        DefaultSpread);

    /// <summary>Early and late are so far from the expected need, as a share of it. Assumed.</summary>
    public const double DefaultSpread = 0.1;

    private StageNeeds(ChillModel chill, double chillNeed, HeatFunction heat, IReadOnlyList<StageNeed> stages, double spread) =>
        (Chill, ChillNeed, Heat, Stages, Spread) = (chill, chillNeed, heat, stages, spread);

    /// <summary>How chill is counted.</summary>
    public ChillModel Chill { get; }

    /// <summary>Chill needed before warmth counts, in the units of <see cref="Chill"/>, above 0.</summary>
    public double ChillNeed { get; }

    /// <summary>How warmth is counted.</summary>
    public HeatFunction Heat { get; }

    /// <summary>The stages with their heat, rising.</summary>
    public IReadOnlyList<StageNeed> Stages { get; }

    /// <summary>Early and late trees need so much less and more chill and heat, as a share; 0 to 0.5.</summary>
    public double Spread { get; }

    /// <summary>Whether these are the published default, which need not fit the grower's variety.</summary>
    public bool IsDefault => ReferenceEquals(this, Default);

    /// <summary>Puts needs together, or says in a sentence what is wrong with them.</summary>
    public static bool TryCreate(
        ChillModel chill,
        double chillNeed,
        HeatFunction heat,
        IReadOnlyList<StageNeed> stages,
        double spread,
        [NotNullWhen(true)] out StageNeeds? needs,
        [NotNullWhen(false)] out string? reason)
    {
        reason = Refusal(chillNeed, stages, spread);
        needs = reason is null ? new StageNeeds(chill, chillNeed, heat, [.. stages], spread) : null;
        return reason is null;
    }

    /// <summary>
    /// The same stages for a variety that reaches one of them with more or less warmth: all needs are stretched by the
    /// same factor. For a fitted need, whose chill is given along with it.
    /// </summary>
    /// <param name="chillNeed">The variety's chill need, in the units of <see cref="Chill"/>.</param>
    /// <param name="stage">The stage whose need is known; one of the list.</param>
    /// <param name="degreeHours">Its need, degree hours.</param>
    /// <param name="needs">The stretched needs.</param>
    /// <param name="reason">What is wrong, in a sentence.</param>
    public bool TryStretch(
        double chillNeed,
        BudStage stage,
        double degreeHours,
        [NotNullWhen(true)] out StageNeeds? needs,
        [NotNullWhen(false)] out string? reason)
    {
        foreach (var known in Stages)
        {
            if (known.LeafBud != stage && known.FlowerBud != stage)
                continue;
            var factor = degreeHours / known.DegreeHours;
            return TryCreate(
                Chill,
                chillNeed,
                Heat,
                [.. Stages.Select(need => need with { DegreeHours = need.DegreeHours * factor })],
                Spread,
                out needs,
                out reason);
        }

        needs = null;
        reason =
            $"The needs have no stage {stage} to stretch by; "
                + $"choose one of {string.Join(", ", Stages.Select(need => need.LeafBud ?? need.FlowerBud))}.";
        return false;
    }

    private static string? Refusal(double chillNeed, IReadOnlyList<StageNeed> stages, double spread)
    {
        if (!(chillNeed is > 0 and < 10_000))
            return Sentence($"The chill need is {chillNeed}; it must be above 0 and below 10000.");
        if (!(spread is >= 0 and <= 0.5))
            return Sentence($"The spread is {spread}; it must lie from 0 to 0.5, 0.1 meaning ±10 %.");
        if (stages.Count == 0)
            return "There is no stage in the needs; name at least one with its degree hours.";

        if (!stages.Any(need => need.LeafBud == BudStage.LeafBudSwell))
            return "The needs do not say when the leaf buds swell; name leaf-bud stage 01 with its degree hours.";

        var (heat, leaf, flower) = (0.0, 0, 0);
        foreach (var need in stages)
        {
            var name = need.LeafBud ?? need.FlowerBud;
            if (name is null)
                return Sentence($"The need of {need.DegreeHours} degree hours names no stage; give it a leaf-bud or a flower-bud code.");
            if (!(need.DegreeHours > heat && need.DegreeHours < 1_000_000))
                return string.Create(
                    CultureInfo.InvariantCulture,
                    $"Stage {name} needs {need.DegreeHours} degree hours; it must be more than the {heat} of the "
                        + $"stage before it, and below 1000000.");
            if (need.LeafBud is { } l && !(l.IsLeafBud && l.Code > leaf))
                return $"Stage {l} is out of order among the leaf buds; they rise from 01 to 19.";
            if (need.FlowerBud is { } f && !(f.IsFlowerBud && f.Code > flower))
                return $"Stage {f} is out of order among the flower buds; they rise from 51 to 69.";
            (heat, leaf, flower) = (need.DegreeHours, need.LeafBud?.Code ?? leaf, need.FlowerBud?.Code ?? flower);
        }

        return null;
    }

    private static StageNeed Need(int leaf, int flower, double degreeHours) => new(BudStage.From(leaf), BudStage.From(flower), degreeHours);

    private static string Sentence(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
