using System.Globalization;
using System.Text;
using BackyardSentinel.Phenology;
using BackyardSentinel.Spraying;
using static System.FormattableString;

namespace BackyardSentinel.Commands;

/// <summary>A plan as a grower reads it, in the site's own time.</summary>
public static class PlanText
{
    private const int SlotsShown = 3;

    /// <summary>The plan.</summary>
    public static string Write(PlanResult result)
    {
        var text = new StringBuilder();
        var zone = result.Site.Zone;
        var from = TimeZoneInfo.ConvertTime(result.Plan.AsOf, zone);
        Line(text, Invariant($"{result.Garden.Name}, {result.Site.Id}: the {SprayPlanner.Horizon.Days} days from {from:ddd d MMM yyyy HH:mm} ({zone.Id})"));
        if (result.Plan.Forecast is { } forecast)
        {
            Line(text, $"Forecast: {forecast.Source}, issued {Moment(forecast.Issued, zone)}, to {Moment(forecast.Until, zone)}");
            foreach (var credit in new[] { forecast.Attribution, forecast.Licence }.OfType<string>())
                Line(text, $"          {credit}");
        }

        foreach (var planting in result.Plan.Plantings)
            Planting(text, result, planting);
        Copper(text, result);
        if (result.Mix is { } mix)
            Mix(text, mix, zone);
        Section(text, "Safety", Safety(result.Request.Products));
        Section(text, "What else to know", result.Plan.Notes.Except(result.Findings));
        return text.ToString();
    }

    private static void Planting(StringBuilder text, PlanResult result, PlantingPlan planting)
    {
        var garden = result.Site.Plantings.First(one => one.Id == planting.Planting);
        Line(text, "");
        Line(text, $"{planting.Planting} ({garden.Kind}{(garden.Variety is { } variety ? $", {variety}" : "")})");
        Line(text, $"  stage      {(planting.Stage is { } code ? Stage(code) : "not known: look at the buds and note it in the journal")}");
        if (planting.BudSwell is { } swell)
        {
            var has = swell.Expected <= Weather.LocalDay.Of(result.Plan.AsOf, result.Site.Zone);
            Line(text, Invariant($"  bud swell  {(has ? "" : "expected ")}{swell.Expected:d MMM}{(swell.Early == swell.Late ? "" : Invariant($" ({swell.Early:d MMM}–{swell.Late:d MMM})"))}"));
            Line(text, $"             {swell.Basis}");
        }
        else
        {
            Line(text, "  bud swell  no day can be told; why is said below");
        }

        Line(text, $"  cover      {planting.Cover.Word()}");
        var applications = planting.Due.Count(due => due.What is not (DueSpray.LookAtCover or DueSpray.Shelter));
        Line(text, $"  due        {(applications == 0 ? "no application" : Count(applications, "application"))}");
        foreach (var due in planting.Due)
            Line(text, $"             {due.What}{(due.By is { } by ? Invariant($", by {by:ddd d MMM}") : "")}: {due.Why}");
        List<(string Product, string Lines)> told = [];
        foreach (var product in result.Request.Products)
        {
            var lines = new StringBuilder();
            Product(lines, result, planting.Planting, product.Id);
            // Often two products have the very same hours; once is enough to read.
            var same = told.FirstOrDefault(one => one.Lines == lines.ToString());
            Line(text, $"  {product.Id}{(same.Product is { } other ? $"  the same as {other}" : "")}");
            if (same.Product is null)
                text.Append(lines);
            told.Add((product.Id, lines.ToString()));
        }
    }

    private static void Product(StringBuilder text, PlanResult result, string planting, string product)
    {
        var zone = result.Site.Zone;
        var refused = result.Plan.Refused.Where(one => one.Planting == planting && one.Product == product).ToList();
        foreach (var one in refused)
            Line(text, $"     refused {(one.From <= result.Plan.AsOf ? "" : $"from {Moment(one.From, zone)} ")}{(one.To >= result.Plan.Until ? "throughout" : $"until {Moment(one.To, zone)}")}: {one.Reason}");
        if (refused.Any(one => one.From <= result.Plan.AsOf && one.To >= result.Plan.Until))
            return;
        if (result.Plan.Forecast is null)
        {
            Line(text, "     no slot without a forecast");
            return;
        }

        var slots = result.Plan.Slots.Where(slot => slot.Planting == planting && slot.Product == product).ToList();
        if (slots.Count == 0)
            Line(text, "     no slot");
        foreach (var slot in slots.Take(SlotsShown))
        {
            Line(text, Invariant($"  {slot.Rank,3}. {Moment(slot.Start, zone)} to {Until(slot, zone)}"));
            Line(text, $"       {string.Join("; ", slot.Reasons)}");
        }

        if (slots.Count > SlotsShown)
            Line(text, $"     and {Count(slots.Count - SlotsShown, "lesser slot")}; --json lists all");
        var hours = result.Hours.Where(one => one.Planting == planting && one.Product == product).ToList();
        if (hours.Count == 0)
            return;
        var reasons = hours
            .SelectMany(span => span.Reason.Split("; "), (span, reason) => (reason, Hours: (span.To - span.From).TotalHours))
            .GroupBy(pair => pair.reason, pair => pair.Hours)
            .OrderByDescending(group => group.Sum()).ThenBy(group => group.Key, StringComparer.Ordinal)
            .Select(group => Invariant($"{group.Key} {group.Sum():0} h"));
        Line(text, Invariant($"     unfit   {hours.Sum(span => (span.To - span.From).TotalHours):0} h: {string.Join(", ", reasons)}"));
    }

    private static void Copper(StringBuilder text, PlanResult result)
    {
        if (!result.Request.Products.Any(product => product.Active.IsCopper()))
            return;
        Line(text, "");
        Line(text, "Copper so far");
        foreach (var planting in result.Plan.Plantings)
        {
            Line(text, Invariant($"  {planting.Planting}: {planting.Copper.SeasonG:0.#} g this season, {planting.Copper.SevenYearG:0.#} g in seven"));
            if (planting.Copper.SevenYearG > 0)
                foreach (var sentence in CopperBenchmark.Beside(planting.Copper))
                    Line(text, $"    {sentence}");
        }
    }

    private static void Mix(StringBuilder text, PlanMix mix, TimeZoneInfo zone)
    {
        Line(text, "");
        Line(text, mix.Title);
        Line(text, $"  {(mix.Slot is { } slot ? $"for the slot {Moment(slot.Start, zone)} to {Until(slot, zone)} on {slot.Planting}" : "no slot is named in these days: mix nothing until there is one")}");
        Line(text, $"  {mix.Tank.Water} of water, {mix.Tank.Product} of product");
        foreach (var (step, index) in mix.Tank.Steps.Select((step, index) => (step, index)))
            Line(text, Invariant($"  {index + 1}. {step}"));
        foreach (var caution in mix.Tank.Safety)
            Line(text, $"  ! {caution}");
    }

    private static IEnumerable<string> Safety(IReadOnlyList<SprayProduct> products)
    {
        yield return "Gloves, eye protection, long sleeves and trousers, closed shoes. Children and pets stay away until it has dried and the label's time has passed.";
        if (products.Any(product => product.Active == ActiveIngredient.LimeSulfur))
            yield return "Lime sulfur is corrosive and can blind: goggles and chemical-resistant gloves, and never together with acids.";
        if (products.Any(product => product.Active.IsSulfur()))
            yield return "No sulfur of any kind on apricot.";
        if (products.Any(product => product.Active.IsCopper()))
            yield return "Copper stays in the soil for good and harms life in water.";
        yield return "Not where bees fly, and nothing into ponds, streams or drains. Keep the label's days before harvest.";
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
