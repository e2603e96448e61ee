using BackyardSentinel.Garden;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>A plan in one sentence: what to do next, on which trees, when, and until when.</summary>
public static class PlanAnswer
{
    /// <summary>What is to be said of one planting, as people call it, and the last day for it.</summary>
    private sealed record Clause(Func<Sentence, Sentence> Of, DateOnly? LastDay = null);

    /// <summary>The sentence. It names no product that is only an oil, and none that is refused.</summary>
    /// <param name="request">What the plan was made from.</param>
    /// <param name="plan">The plan.</param>
    public static Sentence Of(PlanRequest request, SprayPlan plan)
    {
        var said = request.Plantings.Zip(plan.Plantings, (facts, planned) => (facts, Clause: For(request, plan, facts, planned)))
            .GroupBy(one => one.Clause.Of(Sentence.Of("?")))
            .Select(group => (
                Text: group.First().Clause.Of(NamesOf([.. group.Select(one => one.facts)], request.Plantings)),
                LastDay: group.Min(one => one.Clause.LastDay)))
            .ToList();
        if (said.Count == 0)
            return $"There is no planting here, so nothing is planned.";
        var sentence = said.Count == 1
            ? said[0].LastDay is { } last ? $"{said[0].Text}; the last day is {last}" : said[0].Text
            : Sentence.Joined("; ", said.Select(one => one.LastDay is { } day ? $"{one.Text}, last day {day}" : one.Text));
        return sentence.AsWhole();
    }

    private static Clause For(PlanRequest request, SprayPlan plan, PlanPlanting planting, PlantingPlan planned)
    {
        var span = new PlanSpan(request.AsOf, request.Zone);
        if (planned.Due.FirstOrDefault(due => due.What != DueTask.LookAtCover) is not { } due)
            return new Clause(Nothing(request, planting, planned, span));
        var lastDay = LastDay(request, plan, planting, due, span);
        if (due.What == DueTask.Shelter)
            return new Clause(
                due.From is { } start && start > span.Today
                    ? names => $"put the rain shelter over {names} when half of the leaves are down, about {start}"
                    : names => $"put the rain shelter over {names}",
                lastDay);
        var from = due.CountsFrom;
        var notYet = from is { } first && first > span.Today
            ? new Clause(
                due.FromIsGuessed
                    ? names => $"do not spray yet: the {due.What.Said()} on {names} waits for half of the leaves to fall, about {first}"
                    : names => $"do not spray yet: the {due.What.Said()} on {names} counts from {first}",
                lastDay)
            : null;

        var fungicides = request.Products.Where(product => product.Active.IsFungicide()).ToList();
        if (fungicides.Count == 0)
            return notYet ?? new Clause(names => $"the {due.What.Said()} on {names} is due, "
                + $"and the garden file has no product against curl", lastDay);
        var free = fungicides.Where(product => !Throughout(product).Any()).ToList();
        if (free.Count == 0)
            return notYet ?? new Clause(names => $"nothing may go on {names} now: {Throughout(fungicides[0]).First()}", lastDay);

        var looksFirst = IsDoubtful(planting, span.Today);
        var products = Or(free.Select(product => product.Name));
        if (plan.Forecast is not { } forecast)
            return notYet
                ?? new Clause(
                    looksFirst
                        ? names => LookFirst(planting, names, $"spray {products}; without a fresh forecast no hours can be named")
                        : due.What == DueTask.Repeat
                        ? names => ConsiderFirst(names, $"spray {products}; without a fresh forecast no hours can be named")
                        : names => $"spray {products} on {names}; without a fresh forecast no hours can be named",
                    lastDay);
        var slots = plan.DueSlots(request)
            .Where(slot => slot.Planting == planting.Id && free.Any(product => product.Id == slot.Product))
            .ToList();
        if (slots.OrderByDescending(slot => slot.Score).ThenBy(slot => slot.Start).FirstOrDefault() is not { } best)
        {
            var until = forecast.Until < plan.Until ? forecast.Until : plan.Until;
            return notYet
                ?? new Clause(
                    names => $"no hours fit for {products} on {names} are in sight until "
                        + $"{LocalTime.Of(until, request.Zone, TimeForm.Weekday)}; plan again with the next forecast",
                    lastDay);
        }

        var same = Or(
            slots
                .Where(slot => slot.Start == best.Start && slot.End == best.End)
                .Select(slot => request.ProductCalled(slot.Product))
                .Distinct());
        // A slot of the day on which buds may swell, or after it, asks for a look too.
        looksFirst |= planting.BudSwell is { } swell && best.Start >= span.StartOf(swell.Early);
        return new Clause(
            looksFirst
                ? names => LookFirst(planting, names, $"spray {same} on {When(request, best)}")
                : due.What == DueTask.Repeat
                ? names => ConsiderFirst(names, $"spray {same} on {When(request, best)}")
                : names => $"spray {same} on {names} on {When(request, best)}",
            lastDay);

        IEnumerable<Sentence> Throughout(SprayProduct product) => plan.Refused
            .Where(one => one.Planting == planting.Id && one.Product == product.Id && plan.IsThroughout(one))
            .Select(one => one.Reason);
    }

    /// <summary>
    /// The last day up to that by which it is due on which some product against curl may go on, or that day itself where none may on any;
    /// <c>null</c>: it is today, or not known.
    /// </summary>
    private static DateOnly? LastDay(PlanRequest request, SprayPlan plan, PlanPlanting planting, DueSpray due, PlanSpan span)
    {
        if (!(due.By > span.Today) || due.What == DueTask.Shelter)
            return due.By > span.Today ? due.By : null;
        for (var day = due.By.Value; day >= span.Today; day = day.AddDays(-1))
        {
            if (!IsRefused(day == span.Today ? request.AsOf : span.StartOf(day), span.StartOf(day.AddDays(1))))
                return day > span.Today ? day : null;
        }

        return due.By;

        bool IsRefused(DateTimeOffset from, DateTimeOffset to) => to <= plan.Until
            && request.Products.Where(product => product.Active.IsFungicide()).All(product => plan.Refused.Any(one =>
                one.Planting == planting.Id && one.Product == product.Id && one.From <= from && one.To >= to));
    }

    /// <summary>What is worth a repetition is the grower's to judge.</summary>
    private static Sentence ConsiderFirst(Sentence names, Sentence then) =>
        $"rain has worn the spray on {names}; if label, stage and copper allow another, {then}";

    private static Sentence LookFirst(PlanPlanting planting, Sentence names, Sentence then) =>
        planting is { StageIsSeen: true, Stage: { } code } && SprayStage.BudsSwell(code)
            ? (Sentence)$"the buds of {names} swell, so it is the last moment: if none shows green yet and the label allows it, {then}"
            : $"look at the buds of {names} first; if they are still closed, {then}";

    /// <summary>Buds that nobody has seen shut lately may have moved.</summary>
    private static bool IsDoubtful(PlanPlanting planting, DateOnly today) =>
        planting.Stage is not { } code || SprayStage.BudsSwell(code) || planting.BudSwell?.Early <= today;

    private static Func<Sentence, Sentence> Nothing(PlanRequest request, PlanPlanting planting, PlantingPlan planned, PlanSpan span)
    {
        if (planned.Due.Count > 0)
            return names => $"nothing to spray on {names}, but look whether the last spray is still on the bark";
        if (planting.Sheltered)
            return names => $"nothing to spray on {names}: its rain shelter is on";
        if (planting.Stage is { } code && SprayStage.InLeaf(code))
            return names => $"nothing to spray on {names}: nothing sprayed in leaf or blossom stops curl";
        if (planting.Stage is { } swollen && SprayStage.BudsSwell(swollen) && SprayStage.Rank(swollen) > 2)
            return names => $"nothing to spray on {names}: the buds have opened, and nothing sprayed now stops curl";
        return request.Ledger.InSeason(planting.Id, span.Today).Any(spray => spray.Product.Active.IsFungicide())
            ? names => $"nothing to spray on {names}: this season's spray is done"
            : names => $"nothing to spray on {names} at this time of year";
    }

    /// <summary>The plantings in words: all of them together where they are all that the plan has.</summary>
    private static Sentence NamesOf(IReadOnlyList<PlanPlanting> some, IReadOnlyList<PlanPlanting> all)
    {
        if (some.Count == 1)
            return Sentence.Of(some[0].Called);
        if (some.Count < all.Count)
            return $"{Sentence.Joined(", ", some.SkipLast(1).Select(one => Sentence.Of(one.Called)))} and {new Name(some[^1].Called)}";
        return (some.Count == 2, some.All(one => one.Trees == 1)) switch
        {
            (true, true) => $"both trees",
            (true, false) => $"both plantings",
            (false, true) => $"all {some.Count} trees",
            (false, false) => $"all {some.Count} plantings",
        };
    }

    private static Sentence Or(IEnumerable<string> names)
    {
        var all = names.Select(Sentence.Of).ToList();
        return all.Count == 1 ? all[0] : $"{Sentence.Joined(", ", all.SkipLast(1))} or {all[^1]}";
    }

    private static Sentence When(PlanRequest request, SpraySlot slot)
    {
        var ofOneDay = LocalDay.Of(slot.Start, request.Zone) == LocalDay.Of(slot.End, request.Zone);
        var (start, end) = (
            LocalTime.Of(slot.Start, request.Zone, TimeForm.Moment),
            LocalTime.Of(slot.End, request.Zone, ofOneDay ? TimeForm.Clock : TimeForm.Moment));
        return $"{start}–{end}";
    }
}
