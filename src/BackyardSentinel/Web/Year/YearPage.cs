using BackyardSentinel.Live;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Year;

/// <summary>Puts a planting's season into words and lines: where in the year is the tree?</summary>
internal static class YearPage
{
    /// <summary>Makes the view. Runs on the loop's thread; it is reckoned ahead and drawn elsewhere.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    /// <param name="asked">The planting's id; nothing: the first one.</param>
    /// <returns><c>null</c>: the site has no such planting.</returns>
    public static YearView? Of(Visit visit, GardenNow now, string? asked)
    {
        var (words, watch) = (visit.Words, visit.WatchIn(now));
        var leaf = Leaves.Of(visit, now, Chapter.Year);
        var report = visit.Link("/report");
        if (watch.Plantings.Count == 0)
            return new YearView(leaf, words.Say("year.none", ("site", visit.Site.Id)), [], report, null, []);
        if (watch.Plantings.FirstOrDefault(planting => string.IsNullOrEmpty(asked) || planting.Planting.Id == asked) is not { } shown)
            return null;
        var season = YearFacts.SeasonOf(visit.Site, LocalDay.Of(now.At, visit.Site.Zone));
        var slice = now.Almanacs?.Slice(watch, LocalDay.StartOf(season.Start, visit.Site.Zone), DateTimeOffset.MaxValue, withHours: false);
        var year = new YearFacts(watch, shown, slice, now.Journal, now.FreshForecast, now.At);
        var both = now.Almanacs?.Slice(
            watch, LocalDay.StartOf(season.Start.AddYears(-1), visit.Site.Zone), DateTimeOffset.MaxValue, withHours: false);
        return new YearView(
            leaf,
            Headline(visit, shown, year.HasBegun),
            [.. watch.Plantings.Select(planting => new PlantingChoice(
                planting.Planting.Called, visit.Link($"/year?planting={planting.Planting.Id}"), planting == shown))],
            report,
            year,
            SeasonRow.Of(year, both, now.Journal))
        {
            Tuned = new Lazy<KeptTuning?>(() => KeptTuning.Of(visit.Parts.Garden.Store.Path, visit.Site.Id)),
        };
    }

    private static string Headline(Visit visit, PlantingWatch planting, bool hasBegun)
    {
        var words = visit.Words;
        var name = ("planting", planting.Planting.Called);
        string Stage(int code) => words.Say("stage." + code);
        return planting switch
        {
            { Stage.Model: null, Stage.Code: { } held } => words.Say("year.headline.held", name, ("stage", Stage(held))),
            { Stage.Model: null } => words.Say("year.headline.always", name),
            _ when !hasBegun => words.Say("year.headline.new", name),
            { Stage.IsSure: false } => words.Say("year.headline.maybe", name),
            { Stage.Code: { } code } => words.Say("year.headline", name, ("stage", Stage(code))),
            _ => words.Say("year.headline.unknown", name),
        };
    }
}
