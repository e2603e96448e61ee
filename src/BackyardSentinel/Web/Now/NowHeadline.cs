using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Planning;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Web.Now;

/// <summary>The sentence of the page Now that a tired person understands, and what belongs to it.</summary>
internal static class NowHeadline
{
    /// <summary>The sentence and its followers.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    /// <param name="lead">The planting that it is about; <c>null</c>: the site has none.</param>
    public static (string Headline, IReadOnlyList<string> Lines) Of(Visit visit, GardenNow now, PlantingWatch? lead)
    {
        var (words, watch) = (visit.Words, visit.WatchIn(now));
        if (watch.LastInterval is null)
            return (words.Say("now.first"), [words.Say(now.IsListening ? "now.first.catching-up" : "now.first.wait")]);
        if (lead is null)
            return (words.Say("now.no-trees", ("site", visit.Site.Id)), []);
        var risk = lead.Risk;
        if (risk.Level == Level.Unknown)
            return Unknown(visit, now, risk);
        if (risk.Level >= Level.Possible)
            return Open(visit, now, lead);
        if (risk.Level == Level.Building)
            return Building(visit, now, lead);
        List<string> lines = [];
        if (risk.Susceptibility > 0)
        {
            if (Leaves.NeedsALook(lead))
                lines.Add(words.Say("now.maybe-open", ("names", Names(visit, watch.Plantings.Where(Leaves.NeedsALook)))));
            AddRain(visit, now, lines);
            return (words.Say(risk.Sheltered ? "now.sheltered" : "now.clear", ("site", visit.Site.Id)), lines);
        }

        if (lead.Stage.Open.ClosedOn is not null)
        {
            if (watch.Plantings.SelectMany(planting => planting.Incubations).Select(one => (DateOnly?)one.Last).Max() is { } last)
                lines.Add(words.Say("now.over.may-show", ("day", words.Day(last))));
            return (words.Say("now.over", ("names", Names(visit, watch.Plantings))), lines);
        }

        return Winter(visit, now, lines);
    }

    private static (string, IReadOnlyList<string>) Unknown(Visit visit, GardenNow now, PlantingRisk risk)
    {
        var (words, watch) = (visit.Words, visit.WatchIn(now));
        var silent = Leaves.Silent(now, visit.Site);
        var since = risk.Since is { } from ? words.Moment(from, now.At) : words.Say("the-start");
        var headline = watch.Refusing.Count + watch.Doubts.Count > 0 ? words.Say("now.unknown.refused", ("since", since))
            : silent > 0 ? words.Count("now.unknown.silent", silent, ("since", since))
            : words.Say("now.unknown.little", ("since", since));
        List<string> lines = [words.Say("now.unknown.not-clear", ("clear", words.Level(Level.Clear)))];
        return (headline, lines);
    }

    private static (string, IReadOnlyList<string>) Open(Visit visit, GardenNow now, PlantingWatch lead)
    {
        var (words, watch, risk) = (visit.Words, visit.WatchIn(now), lead.Risk);
        var window = risk.OpenWindows.Where(one => one.Rule == watch.Site.LevelRule).Select(one => (InfectionWindow?)one).FirstOrDefault();
        var (hours, rain, mean) = (
            risk.Spell?.WetHours ?? window?.WetHours,
            risk.Spell is { NoRainGauge: false } gauged ? gauged.RainMm : window is { NoRainGauge: false } rained ? rained.RainMm : null,
            risk.Spell?.MeanTempC ?? window?.MeanTempC);
        // A number that is not known is left out, never said as nothing.
        var figures = string.Join(
            ", ",
            new[]
            {
                hours is { } wet ? words.Say("now.figures.wet", ("hours", words.Hours(wet))) : null,
                rain is { } fell ? words.Rain(fell) : null,
                mean is { } air ? words.Temperature(air) : null,
                risk.Cover is null or Cover.None or Cover.Spent ? words.Say("now.figures.no-cover") : null,
            }.OfType<string>());
        var headline = words.Say(
            risk.StageSure ? "now.level" : "now.level.maybe",
            ("level", words.Level(risk.Level)),
            ("since", risk.Since is { } since ? words.Moment(since, now.At) : words.Say("the-start")),
            ("figures", figures));
        List<string> lines = [];
        if (!risk.StageSure)
            lines.Add(words.Say("now.maybe-open.look"));
        // Where no tree is covered the headline has said so.
        var covered = watch.Plantings.Where(one => one.Risk is { Level: >= Level.Possible, Cover: Cover.Fresh }).ToList();
        foreach (var planting in covered.Count == 0 ? [] : watch.Plantings.Where(one => one.Risk.Level >= Level.Possible))
            lines.Add(words.Say(covered.Contains(planting) ? "now.covered" : "now.not-covered", ("name", planting.Planting.Called)));
        AddRain(visit, now, lines);
        return (headline, lines);
    }

    private static (string, IReadOnlyList<string>) Building(Visit visit, GardenNow now, PlantingWatch lead)
    {
        var (words, watch, risk) = (visit.Words, visit.WatchIn(now), lead.Risk);
        var hours = words.Hours(risk.Spell?.WetHours ?? 0);
        var conditions = lead.Rules.First(rule => rule.Name == watch.Site.LevelRule).Explain(risk.Spell, words.Units);
        // Wet hours alone are a matter of time; whether it rains enough or stays cool is the sky's.
        var short_ = conditions.Where(one => !one.IsMet).ToList();
        List<string> lines = [];
        if (!risk.StageSure)
            lines.Add(words.Say("now.maybe-open.look"));
        AddRain(visit, now, lines);
        return (
            short_ is [{ Unit: "h", Lack: { } lack }]
                ? words.Say(
                    risk.StageSure ? "now.building.at" : "now.building.maybe-at",
                    ("hours", hours),
                    ("time", words.Moment(watch.LastInterval!.Value.End.AddHours(lack), now.At)))
                : words.Say("now.building", ("hours", hours)),
            lines);
    }

    private static (string, IReadOnlyList<string>) Winter(Visit visit, GardenNow now, List<string> lines)
    {
        var words = visit.Words;
        var (request, plan) = now.PlanOf(visit.Site.Id);
        // The spray before the buds swell is the one not to miss.
        var dues = plan.Plantings.SelectMany(planting => planting.Due)
            .Where(one => one.By is not null && one.What is not (DueTask.LookAtCover or DueTask.Repeat))
            .OrderBy(one => one.By)
            .ToList();
        var due = dues.Find(one => one.What != DueTask.LeafFall) ?? dues.FirstOrDefault();
        if (dues.Count > 0 && plan.DueSlots(request).Where(slot => slot.Rank == 1).MinBy(slot => slot.Start) is { } slot)
            lines.Add(words.Say("now.winter.hours", ("from", words.Moment(slot.Start)), ("to", words.Clock(slot.End))));
        if (plan.Plantings.All(planting => planting.IsInLeaf))
            return (words.Say("now.autumn"), lines);
        if (due?.By is not { } by)
            return (words.Say("now.winter"), lines);
        if (dues[0] != due && dues[0] is { What: DueTask.LeafFall, By: { } before })
            lines.Insert(0, words.Say("now.winter.before", ("day", words.Date(before))));
        var days = by.DayNumber - words.DayOf(now.At).DayNumber;
        return (
            due.What == DueTask.Shelter ? words.Count("now.winter.shelter", days, ("day", words.Date(by)))
            : due.What == DueTask.LeafFall ? words.Count("now.winter.leaf-fall", days, ("day", words.Date(by)))
            : words.Count("now.winter.spray", days, ("day", words.Date(by))),
            lines);
    }

    /// <summary>What the forecast says of rain: until when it goes on, or when it comes next.</summary>
    internal static void AddRain(Visit visit, GardenNow now, List<string> lines)
    {
        if (now.FreshForecast is not { } forecast)
            return;
        var words = visit.Words;
        var hours = forecast.Hours.Where(hour => hour.Start.AddHours(1) > now.At).ToList();
        var first = hours.FindIndex(hour => hour.RainMm >= 0.1);
        if (first < 0)
        {
            if (hours.Count > 0)
                lines.Add(words.Say("now.no-rain", ("until", words.Moment(forecast.Until, now.At))));
            return;
        }

        var last = first;
        while (last + 1 < hours.Count && hours[last + 1].RainMm >= 0.1)
            last++;
        var amount = hours.Skip(first).Take(last - first + 1).Sum(hour => hour.RainMm ?? 0);
        lines.Add(hours[first].Start <= now.At
            ? words.Say("now.rain-until", ("until", words.Moment(hours[last].Start.AddHours(1), now.At)))
            : words.Say("now.next-rain", ("time", words.Moment(hours[first].Start, now.At)), ("rain", words.Rain(amount))));
    }

    private static string Names(Visit visit, IEnumerable<PlantingWatch> plantings) =>
        visit.Words.List([.. plantings.Select(planting => planting.Planting.Called)]);
}
