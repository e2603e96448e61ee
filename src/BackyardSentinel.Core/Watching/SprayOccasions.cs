using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Planning;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Watching;

/// <summary>What of a spray plan may deserve a message: sprays that fall due, deadlines, a slot in the coming days.</summary>
public static class SprayOccasions
{
    /// <summary>A slot is told when it begins within so many days: further ahead a forecast still moves. Assumed.</summary>
    public const int SlotNearDays = 3;

    /// <summary>The occasions of a plan.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="site">Its site.</param>
    public static IEnumerable<Occasion> Of(SprayPlan plan, Site site)
    {
        var today = LocalDay.Of(plan.AsOf, site.Zone);
        foreach (var planting in plan.Plantings)
        {
            if (LeafFall(plan, planting, site, today) is { } leafFall)
                yield return leafFall;
            if (planting.BudSwell is { } swell && planting.Due.Any(due => due.What == DueTask.LateWinter))
            {
                var left = swell.Early.DayNumber - today.DayNumber;
                if (left <= 0)
                    yield return new SprayLastChance(site.Id, planting.Planting, plan.AsOf, swell.Expected, swell.Early, swell.Late);
                else if (left <= SprayDeadlineNear.FirstDaysLeft)
                    yield return new SprayDeadlineNear(
                        site.Id,
                        planting.Planting,
                        plan.AsOf,
                        swell.Expected,
                        swell.Early,
                        swell.Late,
                        left);
            }

            if (Shelter(plan, planting, site, today) is { } shelter)
                yield return shelter;
            if (Slot(plan, planting, site, today) is { } slot)
                yield return slot;
        }
    }

    private static LeafFallSprayDue? LeafFall(SprayPlan plan, PlantingPlan planting, Site site, DateOnly today)
    {
        if (planting.Due.FirstOrDefault(due => due.What == DueTask.LeafFall) is not { By: { } by, From: { } from } due || from > today)
            return null;
        return new LeafFallSprayDue(
            site.Id,
            planting.Planting,
            plan.AsOf,
            Season(site, today),
            by,
            by.DayNumber - today.DayNumber,
            from,
            due.FromIsGuessed);
    }

    private static ShelterDue? Shelter(SprayPlan plan, PlantingPlan planting, Site site, DateOnly today) =>
        planting.Due.FirstOrDefault(due => due.What == DueTask.Shelter) is { From: { } from } due && from <= today
            ? new ShelterDue(
                site.Id,
                planting.Planting,
                plan.AsOf,
                Season(site, today),
                due.By,
                due.By?.DayNumber - today.DayNumber,
                due.FromIsGuessed)
            : null;

    /// <summary>The year of the season's spring. Without a latitude seasons are counted as in the north, as the plan does.</summary>
    private static int Season(Site site, DateOnly today) => new SeasonCalendar(site.LatitudeDeg ?? 0).SeasonOf(today)!.Value.Year;

    /// <summary>The best slot of the coming days for a spray that is due about now; oil alone is none against curl.</summary>
    private static SpraySlotFound? Slot(SprayPlan plan, PlantingPlan planting, Site site, DateOnly today)
    {
        // An earlier slot would not count as the spray.
        var due = planting.Due.FirstOrDefault(spray =>
            spray.What.IsSpray()
            && !(spray.By > today.AddDays(DueRules.LateWinterDays))
            && !(spray.From > today));
        if (due is null)
            return null;
        var fungicides = site
            .Products.Where(product => product.Active.IsFungicide())
            .Select(product => product.Id)
            .ToHashSet(StringComparer.Ordinal);
        // A date that is today or over means "the last moment": then any slot near is told.
        return plan
            .Slots.Where(slot =>
                slot.Planting == planting.Planting
                && fungicides.Contains(slot.Product)
                && slot.Start < plan.AsOf.AddDays(SlotNearDays)
                && !(due.By > today && LocalDay.Of(slot.Start, site.Zone) >= due.By))
            .OrderByDescending(slot => slot.Score)
            .ThenBy(slot => slot.Start)
            .Select(slot => (Slot: slot, Product: site.Products.First(product => product.Id == slot.Product)))
            .Select(one => new SpraySlotFound(site.Id, planting.Planting, plan.AsOf, one.Product.Id, one.Slot.Start, one.Slot.End)
            {
                ProductName = one.Product.Name,
                Serves = due.What.Word(),
                Deadline = due.By,
                IsRepeat = due.What == DueTask.Repeat,
                CopperKgPerHa = one.Product.Active.IsCopper() && planting.Copper.SeasonG > 0 ? planting.Copper.SeasonKgPerHa : null,
            })
            .FirstOrDefault();
    }
}
