using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>
/// Plans the coming days of a site: what is due, what is refused and, where there is a forecast, when to spray. It never
/// recommends a product; the label, local rules and licensed advice come first.
/// </summary>
public static class SprayPlanner
{
    /// <summary>How far a plan looks: 10 days.</summary>
    public static TimeSpan Horizon => PlanSpan.Horizon;

    /// <summary>Makes the plan. Same request, same plan.</summary>
    public static SprayPlan Plan(PlanRequest request)
    {
        var span = new PlanSpan(request.AsOf, request.Zone);
        var forecast = request.Forecast is { } given && !given.IsStale(request.AsOf) ? given : null;
        var (due, refusals) = (new DueRules(request, span), new SprayRefusals(request, span));

        PlantingPlan[] plantings =
        [
            .. request.Plantings.Select(planting => new PlantingPlan(
                planting.Id,
                planting.Stage,
                planting.BudSwell,
                planting.Cover,
                due.For(planting),
                request.Ledger.Balance(planting.Id, span.Today))
            {
                IsInLeaf = Foliage.InLeaf(planting, request.Ledger.SeasonStart(span.Today), span.Today) is not null,
            }),
        ];
        var refused = request
            .Plantings.SelectMany(
                planting => request.Products,
                (planting, product) => (Planting: planting, Product: product, Refused: refusals.For(planting, product)))
            .ToList();
        var slots = new List<SpraySlot>();
        if (forecast is not null)
        {
            var finder = new SlotFinder(request, span, forecast);
            foreach (var ofProduct in refused.GroupBy(pair => pair.Product.Id))
                slots.AddRange(finder.For(ofProduct.First().Product, ofProduct.Select(pair => (pair.Planting, pair.Refused))));
        }

        var order = request.Plantings.Select((planting, index) => (planting.Id, index)).ToDictionary(pair => pair.Id, pair => pair.index);
        return new SprayPlan(
            span.AsOf,
            span.Until,
            forecast,
            plantings,
            [.. slots.OrderBy(slot => order[slot.Planting])],
            [.. refused.SelectMany(pair => pair.Refused)],
            [.. Notes(request, forecast, span), .. request.Notes]);
    }

    private static IEnumerable<Sentence> Notes(PlanRequest request, Forecast? forecast, PlanSpan span)
    {
        yield return SpraySafety.Label;
        if (forecast is null)
        {
            yield return request.Forecast is { } old
                ? (Sentence)($"{old.Subject} was issued on {Local(request, old.Issued)}, too long ago; "
                    + $"no slots are named until a newer one comes.")
                : $"There is no forecast, so no slots are named; what is due and what is refused holds without one.";
        }
        else
        {
            if (forecast.Until < span.Until)
                yield return $"The forecast ends on {Local(request, forecast.Until)}; slots after that, "
                    + $"or too near it to know that they stay dry and free of frost, are not named.";
            if (request.SunElevationDeg is null)
                yield return $"The site has no coordinates: only hours from 10:00 to 15:00 of standard time are named, "
                    + $"and possible inversions are not judged.";
            if (request.ObservedRain is null)
                yield return $"No measured rain is known: see that the bark is dry.";
        }

        if (request.Products.Count == 0)
            yield return $"The garden file has no products, so there is no spray to plan; add them under products, "
                + $"or keep the rain off with a shelter where none may be used.";
        foreach (var product in request.Products.Where(product => product.IsTemplate))
            yield return $"Product {new Name(product.Name)} has generic figures: check them against your label.";
        foreach (var product in request.Products.Where(product => product.Active == ActiveIngredient.Oil))
            yield return $"{new Name(product.Name)}: {SpraySafety.Oil}";
        foreach (var planting in request.Plantings)
        {
            if (planting.Sheltered)
                yield return $"{new Name(planting.Called)}: its rain shelter is on, so no spray is due. "
                    + $"Note 'shelter off' in the journal when it comes off.";
            else if (planting.CurlLastSpring is null && request.RainLast60DaysMm is null)
                yield return $"{new Name(planting.Called)}: neither last spring's curl nor the winter's rain is known, "
                    + $"so no leaf-fall spray is asked for; spray then too if it had curl.";
            if (planting.Stage is null)
                yield return $"{new Name(planting.Called)}: the bud stage is not known; look at the buds and note it in the journal.";
        }

        foreach (var finding in request.Ledger.Findings)
            yield return finding;
    }

    private static LocalTime Local(PlanRequest request, DateTimeOffset at) => LocalTime.Of(at, request.Zone, TimeForm.Moment);
}
