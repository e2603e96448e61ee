using System.Globalization;
using BackyardSentinel.Garden;
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

    private IEnumerable<string> Throughout(PlanPlanting planting, SprayProduct product)
    {
        if (product.Check(request.Units) is [var problem, ..])
            yield return $"{problem} Until then it is not planned.";
        // University of California apricot tables: no sulfur at any time.
        if (product.Active.IsSulfur() && planting.Kind == TreeKind.Apricot)
            yield return "apricot is hurt by sulfur of any kind at any stage";
        if (product.Label.ExcludedKinds.Contains(planting.Kind))
            yield return $"the label excludes {planting.Kind.Word()}";
        foreach (var reason in ByStage(planting.Stage, product))
            yield return reason;
        foreach (var reason in ByLedger(planting, product))
            yield return reason;
    }

    private static IEnumerable<string> ByStage(int? stage, SprayProduct product)
    {
        if (stage is not { } code)
        {
            if (product.Active == ActiveIngredient.LimeSulfur)
                yield return "the bud stage is not known, and lime sulfur burns buds that swell; note the stage in the journal first";
            yield break;
        }

        var label = product.Label;
        if (product.Active == ActiveIngredient.LimeSulfur && SprayStage.BudsSwell(code))
            yield return Invariant($"buds have begun to swell (stage {code:00}), and lime sulfur burns them");
        // From open leaves or first petals on copper burns them and no longer stops curl, whatever a label may allow.
        if (product.Active.IsCopper() && SprayStage.InLeaf(code))
            yield return Invariant($"leaves or petals are open (stage {code:00}): copper burns them and no longer helps against curl");
        if (label.FirstStage is { } first && SprayStage.Rank(code) < SprayStage.Rank(first))
            yield return Invariant($"stage {code:00} is before the label's first stage {first:00}");
        if (label.LastStage is { } last && SprayStage.Rank(code) > SprayStage.Rank(last))
            yield return Invariant($"stage {code:00} is after the label's last stage {last:00}");
    }

    private IEnumerable<string> ByLedger(PlanPlanting planting, SprayProduct product)
    {
        var allowance = request.Ledger.Allowance(product, planting.Id, span.Today);
        if (allowance.ApplicationsLeft == 0)
            yield return Invariant($"all {product.Label.MaxApplicationsPerSeason} applications that the label allows in a season are used");
        if (allowance.CopperLeftKgPerHa is not { } left)
            yield break;
        var planned = planting.SprayVolumeL is { } litres && product.CopperG(litres) is { } g
            ? request.Ledger.KgPerHa(planting.Id, g) ?? 0
            : 0;
        if (Rounded(left) <= 0)
            yield return string.Create(
                CultureInfo.InvariantCulture,
                $"the label's {request.Units.MassPerArea(product.Label.MaxCopperKgPerHaPerSeason!.Value)} of "
                    + $"copper in a season are used up");
        else if (Rounded(planned) > Rounded(left))
            yield return string.Create(
                CultureInfo.InvariantCulture,
                $"one spray brings {request.Units.MassPerArea(planned)} of copper, "
                    + $"and of the label's {request.Units.MassPerArea(product.Label.MaxCopperKgPerHaPerSeason!.Value)} in a season "
                    + $"{request.Units.MassPerAreaFigure(left)} are left");
    }

    private IEnumerable<(DateTimeOffset From, DateTimeOffset To, string Reason)> ForATime(PlanPlanting planting, SprayProduct product)
    {
        if (request.Ledger.Allowance(product, planting.Id, span.Today).NotBefore is { } next)
            yield return (
                span.AsOf,
                span.StartOf(next),
                Invariant($"the label keeps {product.Label.MinDaysBetween} days between sprays: not before {next:d MMM}"));

        // Lime sulfur waits for nobody's forecast of the buds: from the early date on they may swell any day.
        if (product.Active == ActiveIngredient.LimeSulfur && planting.BudSwell is { } swell)
            yield return (
                span.StartOf(swell.Early),
                span.Until,
                Invariant($"buds may swell from {swell.Early:d MMM}, and lime sulfur burns them"));

        foreach (var (to, reason) in ApartFromOil(planting, product))
            yield return (span.AsOf, to, reason);
    }

    private IEnumerable<(DateTimeOffset To, string Reason)> ApartFromOil(PlanPlanting planting, SprayProduct product)
    {
        foreach (var (entry, other, _, _, _) in request.Ledger.Applications)
        {
            if (entry.Planting != planting.Id || entry.On > span.Today || Days(product, other) is not { } days)
                continue;
            var next = entry.On.AddDays(days);
            if (next > span.Today)
                yield return (
                    span.StartOf(next),
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{Word(other)} was sprayed on {entry.On:d MMM}: "
                            + $"{days} days between {Word(other.Active == ActiveIngredient.Oil ? product : other)} "
                            + $"and oil, not before {next:d MMM}"));
        }

        static string Word(SprayProduct one) => one.Active.IsSulfur() ? "sulfur" : one.Active.Word();
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
