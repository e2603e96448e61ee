using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Weather;
using static System.FormattableString;

namespace BackyardSentinel.Planning;

/// <summary>A plan in one sentence: what to do next, on which trees, when, and until when.</summary>
public static class PlanAnswer
{
    private const string Names = "{names}";

    /// <summary>What is to be said of one planting, with a gap for its name, and the last day for it.</summary>
    private sealed record Clause(string Text, DateOnly? LastDay = null);

    /// <summary>The sentence. It names no product that is only an oil, and none that is refused.</summary>
    /// <param name="request">What the plan was made from.</param>
    /// <param name="plan">The plan.</param>
    public static string Of(PlanRequest request, SprayPlan plan)
    {
        var said = request.Plantings.Zip(plan.Plantings, (facts, planned) => (facts, Clause: For(request, plan, facts, planned)))
            .GroupBy(one => one.Clause.Text)
            .Select(group => (
                Text: group.Key.Replace(Names, NamesOf([.. group.Select(one => one.facts)], request.Plantings), StringComparison.Ordinal),
                LastDay: group.Min(one => one.Clause.LastDay)))
            .ToList();
        if (said.Count == 0)
            return "There is no planting here, so nothing is planned.";
        var sentence = said.Count == 1
            ? said[0].Text + (said[0].LastDay is { } last ? Invariant($"; the last day is {last:d MMM}") : "")
            : string.Join("; ", said.Select(one => one.Text + (one.LastDay is { } day ? Invariant($", last day {day:d MMM}") : "")));
        return char.ToUpperInvariant(sentence[0]) + sentence[1..] + ".";
    }

    private static Clause For(PlanRequest request, SprayPlan plan, PlanPlanting planting, PlantingPlan planned)
    {
        var span = new PlanSpan(request.AsOf, request.Zone);
        if (planned.Due.FirstOrDefault(due => due.What != DueTask.LookAtCover) is not { } due)
            return Nothing(request, planting, planned, span);
        var lastDay = due.By > span.Today ? due.By : null;
        if (due.What == DueTask.Shelter)
            return new Clause(
                due.From > span.Today
                    ? Invariant($"put the rain shelter over {Names} when half of the leaves are down, about {due.From:d MMM}")
                    : $"put the rain shelter over {Names}",
                lastDay);
        // An earlier spray would not count as the one that is due.
        var from = due.What == DueTask.LateWinter ? due.By?.AddDays(-DueRules.LateWinterDays) : due.From;
        Clause? notYet =
            from > span.Today
                ? new Clause(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"no spray yet: "
                            + $"the {due.What.Word()} on {Names} "
                            + $"{(due.FromIsGuessed ? "waits for half of the leaves to fall, about" : "counts from")} {from:d MMM}"),
                    lastDay)
                : null;

        var fungicides = request.Products.Where(product => product.Active.IsFungicide()).ToList();
        if (fungicides.Count == 0)
            return notYet ?? new Clause(
                $"the {due.What.Word()} on {Names} is due, and the garden file has no product against curl", lastDay);
        var free = fungicides.Where(product => !Throughout(product).Any()).ToList();
        if (free.Count == 0)
            return notYet ?? new Clause($"nothing may go on {Names} now: {Throughout(fungicides[0]).First().TrimEnd('.')}", lastDay);

        var first = IsDoubtful(planting, span.Today) ? $"look at the buds of {Names} first; if they are still closed, " : "";
        var onTrees = first.Length > 0 ? "" : $" on {Names}";
        var names = Or(free.Select(product => product.Name));
        if (plan.Forecast is not { } forecast)
            return notYet ?? new Clause($"{first}spray {names}{onTrees}; without a fresh forecast no hours can be named", lastDay);
        var slots = plan
            .Slots.Where(slot =>
                slot.Planting == planting.Id
                && free.Any(product => product.Id == slot.Product)
                && !(LocalDay.Of(slot.Start, request.Zone) < from))
            .ToList();
        if (slots.OrderByDescending(slot => slot.Score).ThenBy(slot => slot.Start).FirstOrDefault() is not { } best)
        {
            var until = forecast.Until < plan.Until ? forecast.Until : plan.Until;
            return notYet
                ?? new Clause(
                    $"no hours fit for {names} on {Names} are in sight until {Moment(request, until, "ddd d MMM")}; "
                        + "plan again with the next forecast",
                    lastDay);
        }

        var same = Or(
            slots
                .Where(slot => slot.Start == best.Start && slot.End == best.End)
                .Select(slot => request.ProductCalled(slot.Product))
                .Distinct());
        // A slot of the day on which buds may swell, or after it, asks for a look too.
        if (first.Length == 0 && planting.BudSwell is { } swell && best.Start >= span.StartOf(swell.Early))
            (first, onTrees) = ($"look at the buds of {Names} first; if they are still closed, ", "");
        return new Clause($"{first}spray {same}{onTrees} on {When(request, best)}", lastDay);

        IEnumerable<string> Throughout(SprayProduct product) => plan.Refused
            .Where(one => one.Planting == planting.Id && one.Product == product.Id && plan.IsThroughout(one))
            .Select(one => one.Reason);
    }

    /// <summary>Buds that nobody has seen shut lately may have moved.</summary>
    private static bool IsDoubtful(PlanPlanting planting, DateOnly today) =>
        planting.Stage is not { } code || SprayStage.BudsSwell(code) || planting.BudSwell?.Early <= today;

    private static Clause Nothing(PlanRequest request, PlanPlanting planting, PlantingPlan planned, PlanSpan span)
    {
        if (planned.Due.Count > 0)
            return new Clause($"nothing to spray on {Names}, but look whether the last spray is still on the bark");
        if (planting.Sheltered)
            return new Clause($"nothing to spray on {Names}: its rain shelter is on");
        if (planting.Stage is { } code && SprayStage.InLeaf(code))
            return new Clause($"nothing to spray on {Names}: nothing sprayed in leaf or blossom stops curl");
        if (planting.Stage is { } swollen && SprayStage.BudsSwell(swollen) && SprayStage.Rank(swollen) > 2)
            return new Clause($"nothing to spray on {Names}: the buds have opened, and nothing sprayed now stops curl");
        return request.Ledger.InSeason(planting.Id, span.Today).Any(spray => spray.Product.Active.IsFungicide())
            ? new Clause($"nothing to spray on {Names}: this season's spray is done")
            : new Clause($"nothing to spray on {Names} at this time of year");
    }

    /// <summary>The plantings in words: all of them together where they are all that the plan has.</summary>
    private static string NamesOf(IReadOnlyList<PlanPlanting> some, IReadOnlyList<PlanPlanting> all)
    {
        if (some.Count < 2 || some.Count < all.Count)
            return some.Count == 1
                ? some[0].Called
                : $"{string.Join(", ", some.SkipLast(1).Select(one => one.Called))} and {some[^1].Called}";
        var what = some.All(one => one.Trees == 1) ? "trees" : "plantings";
        return some.Count == 2 ? $"both {what}" : Invariant($"all {some.Count} {what}");
    }

    private static string Or(IEnumerable<string> names)
    {
        var all = names.ToList();
        return all.Count == 1 ? all[0] : $"{string.Join(", ", all.SkipLast(1))} or {all[^1]}";
    }

    private static string When(PlanRequest request, SpraySlot slot)
    {
        var sameDay = LocalDay.Of(slot.Start, request.Zone) == LocalDay.Of(slot.End, request.Zone);
        return $"{Moment(request, slot.Start, "ddd d MMM HH:mm")}–{Moment(request, slot.End, sameDay ? "HH:mm" : "ddd d MMM HH:mm")}";
    }

    private static string Moment(PlanRequest request, DateTimeOffset at, string format) =>
        TimeZoneInfo.ConvertTime(at, request.Zone).ToString(format, System.Globalization.CultureInfo.InvariantCulture);
}
