using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Spraying;

namespace BackyardSentinel.Web;

/// <summary>Makes what stands round every page.</summary>
internal static class Leaves
{
    /// <summary>A broker that starts again is back sooner (assumed).</summary>
    private static readonly TimeSpan StartsAgain = TimeSpan.FromMinutes(1);

    /// <summary>The paths of the pages.</summary>
    public static string PathOf(Chapter chapter) => chapter switch
    {
        Chapter.Now => "/",
        Chapter.Weather => "/weather",
        Chapter.Year => "/year",
        Chapter.Journal => "/journal",
        Chapter.Spraying => "/spraying",
        Chapter.Sensors => "/sensors",
        Chapter.SetUp => "/set-up",
    };

    /// <summary>The frame of one page.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now; <c>null</c>: it could not be asked.</param>
    /// <param name="current">The page; <c>null</c>: none of the contents.</param>
    /// <param name="title">Its title; <c>null</c>: the name of the page.</param>
    public static Leaf Of(Visit visit, GardenNow? now, Chapter? current, string? title = null)
    {
        var words = visit.Words;
        var level = now is null ? Level.Unknown : Highest(visit.WatchIn(now));
        return new Leaf(
            words,
            title ?? (current is { } chapter ? Name(visit, chapter) : visit.Parts.Garden.Name),
            visit.Parts.Garden.Name,
            now is null ? "" : words.Moment(now.At),
            current,
            [
                .. Enum.GetValues<Chapter>().Select(
                    one => new ContentsLine(one, Name(visit, one), visit.Link(PathOf(one)), now is null ? "" : State(visit, now, one))),
            ],
            visit.Parts.Garden.Sites.Count < 2
                ? []
                : [.. visit.Parts.Garden.Sites.Select(site => new SiteLink(
                    site.Id,
                    $"{PathOf(current ?? Chapter.Now)}?site={site.Id}",
                    site.Id == visit.Site.Id))],
            level,
            LevelText(visit, level),
            now?.Forecast is { Attribution: { Length: > 0 } credit } forecast
                ? words.Say("credit", ("source", credit), ("licence", forecast.Licence ?? "")).TrimEnd(' ', ',', '.') + "."
                : null,
            visit.Role,
            visit.Pass);
    }

    /// <summary>A level with its number: <c>possible, 2 of 4</c>.</summary>
    public static string LevelText(Visit visit, Level level) => level == Level.Unknown
        ? visit.Words.Level(level)
        : visit.Words.Say("level.of", ("level", visit.Words.Level(level)), ("number", visit.Words.Number((int)level)));

    /// <summary>The level that the garden's mark shows: the highest, and unknown before clear.</summary>
    public static Level Highest(SiteWatch watch)
    {
        if (watch.LastInterval is null)
            return Level.Unknown;
        var levels = watch.Plantings.Select(planting => planting.Risk.Level).ToList();
        return levels.Count == 0 ? Level.Clear
            : levels.Max() >= Level.Building ? levels.Max()
            : levels.Contains(Level.Unknown) ? Level.Unknown : Level.Clear;
    }

    private static string Name(Visit visit, Chapter chapter) => visit.Words.Say("contents." + Key(chapter));

    private static string Key(Chapter chapter) => chapter == Chapter.SetUp ? "set-up" : chapter.ToString().ToLowerInvariant();

    private static string State(Visit visit, GardenNow now, Chapter chapter)
    {
        var (words, watch) = (visit.Words, visit.WatchIn(now));
        return chapter switch
        {
            Chapter.Now => LevelText(visit, Highest(watch)),
            Chapter.Weather => watch.RunningSpell is { } spell && watch.LastInterval is { } last
                ? words.Say("contents.weather.wet", ("hours", words.Hours(spell.WetHours)), ("since", words.Moment(spell.Start, last.End)))
                : watch.LastWetness is not { } wetness ? words.Say("contents.nothing")
                : words.Say(wetness.State == WetnessState.Unknown ? "contents.weather.unknown" : "contents.weather.dry"),
            Chapter.Year => watch.Plantings is [var first, ..] && first.Stage.Code is { } code
                ? words.Say("stage." + code)
                : words.Say("contents.year.unknown"),
            Chapter.Journal => watch.Plantings.Any(NeedsALook)
                ? words.Say("contents.journal.buds")
                : Count(visit, "contents.journal", now.Journal.Count(entry => entry.Site == visit.Site.Id)),
            Chapter.Spraying => SprayingState(visit, now),
            Chapter.Sensors => SensorsState(visit, now),
            Chapter.SetUp => "",
        };
    }

    /// <summary>The buds may be open, and nobody knows.</summary>
    public static bool NeedsALook(Watching.PlantingWatch planting) =>
        planting is { Stage: { IsSure: false, Model: not null }, Risk.Susceptibility: > 0 };

    /// <summary>That nothing can be heard of the broker, why, and what to do; nothing while it only starts again.</summary>
    public static IEnumerable<string> Unheard(Visit visit, GardenNow now) =>
        visit.Parts.LinkTrouble() is { } trouble && now.At - trouble.Since >= StartsAgain
            ? [visit.Words.Say(
                "unheard",
                ("since", visit.Words.Moment(trouble.Since, now.At)),
                ("why", visit.Words.Say(trouble.Says)))]
            : [];

    /// <summary>Sensors of the site that are silent.</summary>
    public static int Silent(GardenNow now, Site site) => now.Troubles.Where(one => one.Site == site.Id).Sum(one => one switch
    {
        SensorsSilent many => many.Count,
        SensorSilent => 1,
        _ => 0,
    });

    /// <summary>Batteries of the site that are low; several series may tell of one.</summary>
    public static int LowBatteries(Visit visit, IReadOnlyDictionary<string, double> batteries) => visit.Parts.Garden
        .SeriesOf(visit.Site.Id)
        .Where(one => batteries.TryGetValue(one.Name, out var level) && level < one.BatteryLow)
        .DistinctBy(one => (one.Topic, one.BatteryPath))
        .Count();

    /// <summary>Series of the site whose last word was refused, or which are doubted: each is counted once.</summary>
    public static int Refused(SiteWatch watch) => watch.Refusing
        .Select(one => (one.Reading.Quantity, one.Reading.Rank))
        .Union(watch.Doubts.Select(one => (one.Quantity, one.Rank)))
        .Count();

    /// <summary>Sensors of the site whose value does not move.</summary>
    public static int Stuck(IEnumerable<Occasion> troubles, Site site) => troubles.Count(one => one is SensorStuck && one.Site == site.Id);

    private static string SprayingState(Visit visit, GardenNow now) =>
        SprayingScene.NextOf(now.PlanOf(visit.Site.Id).Plan) is not { } next
            ? visit.Words.Say("contents.spraying.nothing")
            : next.By is { } by
                ? visit.Words.Say("contents.spraying.due", ("day", visit.Words.Day(by)))
                : visit.Words.Say("contents.spraying.now");

    private static string SensorsState(Visit visit, GardenNow now)
    {
        var watch = visit.WatchIn(now);
        if (Unheard(visit, now).Any())
            return visit.Words.Say("contents.sensors.unheard");
        if (Refused(watch) is > 0 and var refused)
            return Count(visit, "contents.sensors.refused", refused);
        if (Silent(now, visit.Site) is > 0 and var silent)
            return Count(visit, "contents.sensors.silent", silent);
        if (LowBatteries(visit, now.Batteries) is > 0 and var low)
            return Count(visit, "contents.sensors.battery", low);
        if (Stuck(now.Troubles, visit.Site) is > 0 and var stuck)
            return Count(visit, "contents.sensors.stuck", stuck);
        return visit.Words.Say(watch.LastInterval is null ? "contents.nothing" : "contents.sensors.well");
    }

    private static string Count(Visit visit, string key, int count) => visit.Words.Count(key, count);
}
