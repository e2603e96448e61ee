using System.Globalization;
using System.Text;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;
using BackyardSentinel.Storage;
using static System.FormattableString;

namespace BackyardSentinel.Commands.Plan;

/// <summary>A plan as a grower reads it, in the site's own time.</summary>
public static class PlanText
{
    private const int SlotsShown = 3, ReasonsShown = 4;

    /// <summary>The plan: the answer first, then what stands with each planting, the hours, the copper and the cautions.</summary>
    public static string Write(PlanResult result)
    {
        var text = new StringBuilder();
        var (zone, plan) = (result.Site.Zone, result.Plan);
        var from = TimeZoneInfo.ConvertTime(plan.AsOf, zone);
        Line(text, PlanAnswer.Of(result.Request, plan).Text);
        Line(text, "");
        Line(
            text,
            Invariant(
                $"{result.Garden}, {result.Site.Id}: the {SprayPlanner.Horizon.Days} days from {from:ddd d MMM yyyy HH:mm} ({zone.Id})"));
        if (plan.Forecast is { } forecast)
        {
            var source = TerminalText.Plain(forecast.Source);
            Line(text, $"Forecast: {source}, issued {Moment(forecast.Issued, zone)}, to {Moment(forecast.Until, zone)}");
            foreach (var credit in new[] { forecast.Attribution, forecast.Licence }.OfType<string>())
                Line(text, $"          {TerminalText.Plain(credit)}");
        }

        Line(text, SpraySafety.Label.Text);
        foreach (var planting in plan.Plantings)
            Planting(text, result, planting);
        Due(text, result.Request, plan);
        Products(text, result);
        Copper(text, result);
        if (result.Mix is { } mix)
            Mix(text, result.Request, mix, zone);
        Section(
            text,
            "Safety",
            SpraySafety.For(result.Request.Products).Where(one => one != SpraySafety.Label).Except(result.Mix?.Tank.Safety ?? [])
                .Select(one => one.Text));
        Section(
            text,
            "Notes",
            [
                .. SwellNotes(result.Request, plan),
                .. plan
                    .Notes.Where(note => note != SpraySafety.Label && !note.Fillings.Contains(SpraySafety.Oil))
                    .Select(note => note.Text)
                    .Except(result.Findings),
            ]);
        return text.ToString();
    }

    private static void Planting(StringBuilder text, PlanResult result, PlantingPlan planting)
    {
        var garden = result.Site.Plantings.First(one => one.Id == planting.Planting);
        Line(text, "");
        Line(
            text,
            $"{result.Request.Called(planting.Planting)} ({garden.Kind.Word()}{(garden.Variety is { } variety ? $", {variety}" : "")})");
        Line(text, $"  stage      {(planting.Stage is { } code ? Stage(code) : "not known: look at the buds and note it in the journal")}");
        if (planting.BudSwell is { } swell)
        {
            var has = swell.Expected <= Weather.LocalDay.Of(result.Plan.AsOf, result.Site.Zone);
            Line(
                text,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"  bud swell  {(has ? "" : "expected ")}{swell.Expected:d MMM}"
                        + $"{(swell.Early == swell.Late ? "" : Invariant($" ({swell.Early:d MMM}–{swell.Late:d MMM})"))}"));
        }
        else
        {
            Line(text, "  bud swell  no date yet; see the notes below");
        }

        Line(text, $"  cover      {planting.Cover.Word()}");
    }

    /// <summary>What is due: the same thing on several plantings stands once, with the day of each.</summary>
    private static void Due(StringBuilder text, PlanRequest request, SprayPlan plan)
    {
        Line(text, "");
        Line(text, "Due");
        var due = plan.Plantings.SelectMany(planting => planting.Due, (planting, one) => (planting.Planting, Due: one)).ToList();
        if (due.Count == 0)
            Line(text, "  no application");
        foreach (var same in due.GroupBy(one => (one.Due.What, one.Due.Why)))
        {
            var trees = same.Select(one =>
                request.Called(one.Planting) + (one.Due.By is { } by ? Invariant($" by {by:ddd d MMM}") : ""));
            Line(text, $"  {same.Key.What.Word()}: {string.Join(", ", trees)}");
            Line(text, $"    {same.Key.Why}");
        }
    }

    /// <summary>Hours and refusals: products and plantings that have the very same ones stand together.</summary>
    private static void Products(StringBuilder text, PlanResult result)
    {
        var told = result
            .Request.Products.SelectMany(
                product => result.Plan.Plantings,
                (product, planting) => (Product: product.Id, planting.Planting, Lines: Product(result, planting, product.Id)))
            .ToList();
        foreach (var same in told.GroupBy(one => one.Lines))
        {
            Line(text, "");
            // Products with the same hours on the same plantings share a heading.
            foreach (
                var products in same.GroupBy(one => one.Product)
                    .GroupBy(one => string.Join(", ", one.Select(pair => result.Request.Called(pair.Planting)))))
                Line(text, $"{string.Join(", ", products.Select(one => result.Request.ProductCalled(one.Key)))} on {products.Key}");
            foreach (
                var oil in same.Select(one => one.Product)
                    .Distinct()
                    .Where(id => result.Request.Products.Any(one => one.Id == id && one.Active == ActiveIngredient.Oil)))
                Line(text, $"  {result.Request.ProductCalled(oil)}: {SpraySafety.Oil}");
            text.Append(same.Key);
        }
    }

    private static string Product(PlanResult result, PlantingPlan plan, string product)
    {
        var text = new StringBuilder();
        var (zone, planting) = (result.Site.Zone, plan.Planting);
        var refused = result.Plan.Refused.Where(one => one.Planting == planting && one.Product == product).ToList();
        foreach (var one in refused)
            Line(
                text,
                $"  refused {(one.From <= result.Plan.AsOf ? "" : $"from {Moment(one.From, zone)} ")}"
                    + $"{(one.To >= result.Plan.Until ? "throughout" : $"until {Moment(one.To, zone)}")}: {one.Reason}");
        if (refused.Any(one => one.From <= result.Plan.AsOf && one.To >= result.Plan.Until))
            return text.ToString();
        if (result.Plan.Forecast is null)
        {
            Line(text, "  no slot without a forecast");
            return text.ToString();
        }

        var slots = result.Plan.Slots.Where(slot => slot.Planting == planting && slot.Product == product).ToList();
        Slots(text, slots, plan.BudSwell is { } swell ? SpraySlot.Timely(swell.Early).Text : null, zone);
        var hours = result.Hours.Where(one => one.Planting == planting && one.Product == product).ToList();
        if (hours.Count == 0)
            return text.ToString();
        var reasons = hours
            .SelectMany(span => span.Reason.Pieces, (span, reason) => (reason: reason.Text, Hours: (span.To - span.From).TotalHours))
            .GroupBy(pair => pair.reason, pair => pair.Hours)
            .OrderByDescending(group => group.Sum()).ThenBy(group => group.Key, StringComparer.Ordinal)
            .Select(group => Invariant($"{group.Key} {group.Sum():0} h")).ToList();
        var more = reasons.Count > ReasonsShown ? Invariant($" and {reasons.Count - ReasonsShown} more; --json lists all") : "";
        Line(
            text,
            string.Create(
                CultureInfo.InvariantCulture,
                $"  unfit {hours.Sum(span => (span.To - span.From).TotalHours):0} h: "
                    + $"{string.Join(", ", reasons.Take(ReasonsShown))}{more}"));
        return text.ToString();
    }

    /// <summary>
    /// The best slots, a line each; what all of them have in common stands once below. That one is timely is said by the last day.
    /// </summary>
    private static void Slots(StringBuilder text, List<SpraySlot> slots, string? timely, TimeZoneInfo zone)
    {
        if (slots.Count == 0)
        {
            Line(text, "  no slot");
            return;
        }

        var shown = slots.Take(SlotsShown).ToList();
        List<string> common =
            shown.Count == 1
                ? []
                : [.. shown[0].Reasons.Where(reason => reason != timely && shown.All(slot => slot.Reasons.Contains(reason)))];
        foreach (var slot in shown)
        {
            var own = slot.Reasons.Where(reason => reason != timely && !common.Contains(reason)).ToList();
            Line(
                text,
                Invariant(
                    $"  {slot.Rank}. {Moment(slot.Start, zone)}–{Until(slot, zone)}{(own.Count > 0 ? "  " : "")}{string.Join("; ", own)}"));
        }

        if (common.Count > 0)
            Line(text, $"  {(shown.Count == 2 ? "both" : "all")}: {string.Join("; ", common)}");
        if (slots.Count > SlotsShown)
            Line(text, $"  and {Count(slots.Count - SlotsShown, "lesser slot")}");
    }

    private static IEnumerable<string> SwellNotes(PlanRequest request, SprayPlan plan) =>
        plan
            .Plantings.Where(planting => planting.BudSwell is not null)
            .GroupBy(planting => planting.BudSwell!.Basis)
            .Select(same => $"Bud swell of {string.Join(" and ", same.Select(one => request.Called(one.Planting)))}: {same.Key}");

    private static void Copper(StringBuilder text, PlanResult result)
    {
        if (!result.Request.Products.Any(product => product.Active.IsCopper()))
            return;
        Line(text, "");
        Line(text, "Copper so far");
        var (some, none) = (
            result.Plan.Plantings.Where(one => one.Copper.SevenYearG > 0).ToList(),
            result.Plan.Plantings.Where(one => !(one.Copper.SevenYearG > 0)).ToList());
        foreach (var planting in some)
        {
            Line(
                text,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"  {result.Request.Called(planting.Planting)}: {result.Site.Units.Mass(planting.Copper.SeasonG)} this season, "
                        + $"{result.Site.Units.Mass(planting.Copper.SevenYearG)} in seven seasons"
                        + $"{(planting.Copper.Uncounted > 0 ? ", and what cannot be counted" : "")}"));
            foreach (var sentence in CopperBenchmark.Beside(planting.Copper, result.Site.Units))
                Line(text, $"    {sentence}");
        }

        foreach (var same in none.GroupBy(one => one.Copper.Uncounted > 0 ? "not known, as its spray cannot be counted" : "none"))
            Line(text, $"  {string.Join(", ", same.Select(one => result.Request.Called(one.Planting)))}: {same.Key}");
    }

    private static void Mix(StringBuilder text, PlanRequest request, PlanMix mix, TimeZoneInfo zone)
    {
        Line(text, "");
        Line(text, $"Tank mix: {request.ProductCalled(mix.Product)} for {string.Join(" and ", mix.Plantings.Select(request.Called))}");
        Line(
            text,
            mix.Slot is { } slot
                ? $"  for the slot {Moment(slot.Start, zone)}–{Until(slot, zone)} on {request.Called(slot.Planting)}"
                : "  no slot is named in these days: mix nothing until there is one");
        Line(text, $"  {mix.Tank.Water} of water, {mix.Tank.Product} of product");
        foreach (var (step, index) in mix.Tank.Steps.Select((step, index) => (step, index)))
            Line(text, Invariant($"  {index + 1}. {step}"));
        foreach (var caution in mix.Tank.Safety)
            Line(text, $"  ! {caution}");
    }

    private static void Section(StringBuilder text, string title, IEnumerable<string> sentences)
    {
        var lines = sentences.ToList();
        if (lines.Count == 0)
            return;
        Line(text, "");
        Line(text, title);
        foreach (var line in lines)
            Line(text, $"  {line}");
    }

    private static string Stage(int code) => BudStage.TryFrom(code, out var stage) ? $"{stage} {stage.Meaning}" : Invariant($"{code:00}");

    private static string Until(SpraySlot slot, TimeZoneInfo zone)
    {
        var (start, end) = (TimeZoneInfo.ConvertTime(slot.Start, zone), TimeZoneInfo.ConvertTime(slot.End, zone));
        return start.Date == end.Date ? end.ToString("HH:mm", CultureInfo.InvariantCulture) : Moment(slot.End, zone);
    }

    private static string Moment(DateTimeOffset at, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(at, zone).ToString("ddd d MMM HH:mm", CultureInfo.InvariantCulture);

    private static string Count(int number, string what) => Invariant($"{number} {what}{(number == 1 ? "" : "s")}");

    private static void Line(StringBuilder text, string line) => text.Append(line).Append('\n');
}
