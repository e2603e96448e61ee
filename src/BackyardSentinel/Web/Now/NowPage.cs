using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Phenology;
using BackyardSentinel.Watching;
using BackyardSentinel.Web.Alerts;

namespace BackyardSentinel.Web.Now;

/// <summary>Puts a site as it is now into words: must I do something?</summary>
internal static class NowPage
{
    /// <summary>A message is asked to be answered for so long.</summary>
    private static readonly TimeSpan OpenFor = TimeSpan.FromHours(24);

    /// <summary>Makes the view, without what was told. Runs on the loop's thread.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    public static NowView Of(Visit visit, GardenNow now)
    {
        var (words, watch) = (visit.Words, visit.WatchIn(now));
        var leaf = Leaves.Of(visit, now, Chapter.Now);
        var lead = Lead(watch);
        var isCovered = lead?.Risk is { Level: >= Level.Possible, Cover: Cover.Fresh };
        var (headline, lines) = NowHeadline.Of(visit, now, lead);
        var outlook = new SwellOutlook(visit.Site, watch.PastDays, watch.LastInterval is not null, now.FreshForecast, now.At);
        return new NowView(
            leaf,
            leaf.Level,
            isCovered,
            isCovered ? words.Say("now.covered-kick", ("level", leaf.LevelText)) : leaf.LevelText,
            headline,
            [.. Leaves.Unheard(visit, now), .. lines],
            AsOf(visit, now),
            watch.LastInterval is null ? [] : NowTodo.Of(visit, now),
            Needs(visit, watch, lead),
            [.. watch.Plantings.Select(planting => NowTree.Of(visit, now, planting, outlook))],
            NowDays.Of(visit, now));
    }

    /// <summary>
    /// The last message that waits for an answer; <c>null</c>: none. It is read from the store, so never on the loop's thread.
    /// </summary>
    /// <param name="visit">The visit.</param>
    /// <param name="at">Now, by the garden's clock.</param>
    public static ToldView? Told(Visit visit, DateTimeOffset at)
    {
        var open = visit.Parts.Books.AlertsAfter(at - OpenFor).FirstOrDefault(one =>
            one.Answer is null
            && one.Message.UsefulUntil > at
            && (one.Message.Site.Length == 0 || one.Message.Site == visit.Site.Id));
        if (open is null)
            return null;
        var words = visit.Words;
        return new ToldView(
            AlertPage.PathOf(visit, open.Message.Id),
            open.DeliveredAt is { } delivered
                ? words.Say("now.told", ("time", words.Moment(delivered, at)), ("title", open.Message.Title))
                : words.Say("now.told.not-out", ("time", words.Moment(open.Message.At, at)), ("title", open.Message.Title)));
    }

    /// <summary>The planting that the headline is about: the highest level, then what is unknown, then what is open to infection.</summary>
    private static PlantingWatch? Lead(SiteWatch watch) => watch.Plantings.MaxBy(planting => planting.Risk switch
    {
        { Level: >= Level.Building } risk => 10 + (int)risk.Level,
        { Level: Level.Unknown } => 9,
        { Susceptibility: > 0 } => 2,
        _ => planting.Stage.Open.ClosedOn is null ? 1 : 0,
    });

    private static string AsOf(Visit visit, GardenNow now)
    {
        var (words, watch) = (visit.Words, visit.WatchIn(now));
        if (watch.LastInterval is not { } last)
            return words.Say("now.as-of.none", ("site", visit.Site.Id));
        var series = visit.Parts.Garden.SeriesOf(visit.Site.Id).Count();
        var text = words.Say(
            "now.as-of",
            ("site", visit.Site.Id),
            ("time", words.Moment(last.End, now.At)),
            ("fresh", words.Number(series - Leaves.Silent(now, visit.Site))),
            ("all", words.Number(series)));
        if (Leaves.Refused(watch) is > 0 and var refused)
            text += " " + words.Count("now.as-of.refused", refused);
        return text + " " + (now.Forecast is { } forecast && !forecast.IsStale(now.At)
            ? words.Say("now.as-of.forecast", ("time", words.Moment(forecast.Issued, now.At)))
            : words.Say(now.Forecast is null ? "now.as-of.no-forecast" : "now.as-of.stale-forecast"));
    }

    private static NeedsView? Needs(Visit visit, SiteWatch watch, PlantingWatch? lead)
    {
        if (lead?.Risk is not { Level: Level.Building, Spell: { } spell })
            return null;
        var (words, units) = (visit.Words, visit.Words.Units);
        var rule = lead.Rules.First(one => one.Name == watch.Site.LevelRule);
        var rows = rule.Explain(spell, units)
            .Where(one => one.Unit is "mm" or "h" && one.Least is not null)
            .Select(one => new NeedView(
                words.Say(one.Unit == "h" ? "now.needs.wet" : "now.needs.rain"),
                one.Value is { } value ? Figure(one.Unit, value) : words.Say("not-known"),
                Figure(one.Unit, one.Least!.Value),
                one.IsMet
                    ? words.Say("now.needs.reached")
                    : one.Lack is not null
                    ? words.Say("now.needs.more", ("amount", words.Figure(one.LackIn(units))))
                    : "",
                one.Value / one.Least))
            .ToList();
        return rows.Count == 0 ? null : new NeedsView(rows);

        string Figure(string unit, double value) => unit == "h" ? words.Hours(value) : words.Rain(value);
    }
}
