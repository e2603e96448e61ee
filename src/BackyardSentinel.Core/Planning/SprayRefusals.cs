using BackyardSentinel.Garden;
using BackyardSentinel.Wording;
using static System.FormattableString;
using static BackyardSentinel.Garden.LimitRounding;

namespace BackyardSentinel.Planning;

/// <summary>What is refused whatever the weather: because the tree would be hurt, or because the label says so.</summary>
internal sealed class SprayRefusals(PlanRequest request, PlanSpan span)
{
    public IReadOnlyList<RefusedSpray> For(PlanPlanting planting, SprayProduct product)
    {
        var refused = new List<RefusedSpray>();
        foreach (var reason in Throughout(planting, product))
            refused.Add(new RefusedSpray(planting.Id, product.Id, span.AsOf, span.Until, reason));
        foreach (var (from, to, reason) in ForATime(planting, product))
        {
            var (start, end) = (from < span.AsOf ? span.AsOf : from, to > span.Until ? span.Until : to);
            if (start < end)
                refused.Add(new RefusedSpray(planting.Id, product.Id, start, end, reason));
        }

        return refused;
    }

    private IEnumerable<Sentence> Throughout(PlanPlanting planting, SprayProduct product)
    {
        if (product.Check(request.Units) is [var problem, ..])
            yield return $"{problem} Until then it is not planned.";
        // University of California apricot tables: no sulfur at any time.
        if (product.Active.IsSulfur() && planting.Kind == TreeKind.Apricot)
            yield return $"apricot is hurt by sulfur of any kind at any stage";
        if (product.Label.ExcludedKinds.Contains(planting.Kind))
            yield return $"the label excludes {planting.Kind.Said()}";
        foreach (var reason in ByStage(planting.Stage, product))
            yield return reason;
        foreach (var reason in ByLedger(planting, product))
            yield return reason;
    }

    private static IEnumerable<Sentence> ByStage(int? stage, SprayProduct product)
    {
        if (stage is not { } code)
        {
            if (product.Active == ActiveIngredient.LimeSulfur)
                yield return $"the bud stage is not known, and lime sulfur burns buds that swell; note the stage in the journal first";
            yield break;
        }

        var label = product.Label;
        if (product.Active == ActiveIngredient.LimeSulfur && SprayStage.BudsSwell(code))
            yield return $"buds have begun to swell (stage {Code(code)}), and lime sulfur burns them";
        // From open leaves or first petals on copper burns them and no longer stops curl, whatever a label may allow.
        if (product.Active.IsCopper() && SprayStage.InLeaf(code))
            yield return $"leaves or petals are open (stage {Code(code)}): copper burns them and no longer helps against curl";
        if (label.FirstStage is { } first && SprayStage.Rank(code) < SprayStage.Rank(first))
            yield return $"stage {Code(code)} is before the label's first stage {Code(first)}";
        if (label.LastStage is { } last && SprayStage.Rank(code) > SprayStage.Rank(last))
            yield return $"stage {Code(code)} is after the label's last stage {Code(last)}";
    }

    private static Figure Code(int stage) => new(Invariant($"{stage:00}"));

    private IEnumerable<Sentence> ByLedger(PlanPlanting planting, SprayProduct product)
    {
        var allowance = request.Ledger.Allowance(product, planting.Id, span.Today);
        if (allowance.ApplicationsLeft == 0 && product.Label.MaxApplicationsPerSeason is { } most)
            yield return $"all {most} applications that the label allows in a season are used";
        if (allowance.CopperLeftKgPerHa is not { } left)
            yield break;
        var planned = planting.SprayVolumeL is { } litres && product.CopperG(litres) is { } g
            ? request.Ledger.KgPerHa(planting.Id, g) ?? 0
            : 0;
        if (Rounded(left) <= 0)
            yield return $"the label's {new Figure(request.Units.MassPerArea(product.Label.MaxCopperKgPerHaPerSeason!.Value))} of "
                + $"copper in a season are used up";
        else if (Rounded(planned) > Rounded(left))
            yield return $"one spray brings {new Figure(request.Units.MassPerArea(planned))} of copper, "
                + $"and of the label's {new Figure(request.Units.MassPerArea(product.Label.MaxCopperKgPerHaPerSeason!.Value))} in a "
                + $"season {new Figure(request.Units.MassPerAreaFigure(left))} are left";
    }

    private IEnumerable<(DateTimeOffset From, DateTimeOffset To, Sentence Reason)> ForATime(PlanPlanting planting, SprayProduct product)
    {
        if (request.Ledger.Allowance(product, planting.Id, span.Today).NotBefore is { } next)
            yield return (
                span.AsOf,
                span.StartOf(next),
                $"the label keeps {product.Label.MinDaysBetween!.Value} days between sprays: not before {next}");

        if (Foliage.InLeaf(planting, request.Ledger.SeasonStart(span.Today), span.Today) is var (until, why))
            yield return (span.AsOf, span.StartOf(until), why);

        // Lime sulfur waits for nobody's forecast of the buds: from the early date on they may swell any day.
        if (product.Active == ActiveIngredient.LimeSulfur && planting.BudSwell is { } swell)
            yield return (
                span.StartOf(swell.Early),
                span.Until,
                $"buds may swell from {swell.Early}, and lime sulfur burns them");

        foreach (var (to, reason) in ApartFromOil(planting, product))
            yield return (span.AsOf, to, reason);
    }

    private IEnumerable<(DateTimeOffset To, Sentence Reason)> ApartFromOil(PlanPlanting planting, SprayProduct product)
    {
        foreach (var (entry, other, _, _, _) in request.Ledger.Applications)
        {
            if (entry.Planting != planting.Id || entry.On > span.Today || Days(product, other) is not { } days)
                continue;
            var next = entry.On.AddDays(days);
            yield return (
                span.StartOf(next),
                $"{Word(other)} was sprayed on {entry.On}: {days} days between "
                    + $"{Word(other.Active == ActiveIngredient.Oil ? product : other)} and oil, not before {next}");
        }

        static Sentence Word(SprayProduct one) => one.Active.IsSulfur() ? ActiveIngredient.Sulfur.Said() : one.Active.Said();
    }

    /// <summary>
    /// Days that two products are kept apart because one is an oil; a label that speaks overrules the cautious default, of two the
    /// stricter holds.
    /// </summary>
    private static int? Days(SprayProduct one, SprayProduct other)
    {
        var usual =
            one.Active == ActiveIngredient.Oil ? other.Active.DaysFromOil()
            : other.Active == ActiveIngredient.Oil ? one.Active.DaysFromOil()
            : null;
        if (usual is null)
            return null;
        return (one.Label.DaysFromOil, other.Label.DaysFromOil) is (null, null)
            ? usual
            : Math.Max(one.Label.DaysFromOil ?? 0, other.Label.DaysFromOil ?? 0);
    }
}
