using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Reporting;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Now;

/// <summary>The worst of each of the last days, planting by planting, and of those ahead.</summary>
/// <param name="Plantings">Names and days; each planting has the same days.</param>
/// <param name="Today">Today.</param>
public sealed record NowDays(IReadOnlyList<(string Name, IReadOnlyList<DayLevel> Days)> Plantings, DateOnly Today)
{
    /// <summary>Gathers them; on the loop's thread.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    /// <returns><c>null</c>: nothing is known yet, or there is no planting.</returns>
    internal static NowDays? Of(Visit visit, GardenNow now)
    {
        var watch = visit.WatchIn(now);
        var zone = visit.Site.Zone;
        var today = LocalDay.Of(now.At, zone);
        var first = today.AddDays(-DayByDay.Back);
        var almanac = now.Almanacs?.Slice(watch, LocalDay.StartOf(first, zone), DateTimeOffset.MaxValue, withHours: false);
        if (almanac is not { Plantings.Count: > 0 } slice)
            return null;
        var ahead = now.FreshForecast is { } forecast ? watch.LookAhead(forecast.Hours) : null;
        var count = DayByDay.Back + 1 + (ahead is { Hours.Count: > 0 } ? DayByDay.Ahead : 0);
        return new NowDays(
            [
                .. watch.Plantings.Select((planting, i) => (planting.Planting.Called, DayLevel.Of(
                    slice.Plantings[i],
                    visit.Site.LevelRule,
                    ahead,
                    ahead is null ? [] : watch.LevelsAhead(planting, ahead),
                    zone,
                    first,
                    count))),
            ],
            today);
    }

    /// <summary>The table behind the drawing: a row for each day.</summary>
    /// <param name="words">The words.</param>
    public IEnumerable<(string Day, IReadOnlyList<string> Levels)> Rows(PageWords words) => Plantings[0].Days.Select((day, i) => (
        day.Day > Today ? words.Say("days.forecast", ("day", words.Date(day.Day))) : words.Date(day.Day),
        (IReadOnlyList<string>)[.. Plantings.Select(planting => Text(planting.Days[i], words))]));

    private static string Text(in DayLevel day, PageWords words)
    {
        List<string> parts = [];
        if (day.Highest is { } level)
            parts.Add(words.Say(
                day.IsCovered ? "days.level.covered" : level >= Level.Building && day.IfOpen ? "days.level.if-open" : "days.level",
                ("level", words.Level(level)),
                ("number", words.Number((int)level))));
        if (day.HasUnknown || day is { Highest: null, Ahead: null })
            parts.Add(words.Say(day.Highest is null ? "days.unknown" : "days.unknown.partly"));
        if (day.Ahead is { } ahead && (day.Highest is null || ahead > day.Highest))
            parts.Add(words.Say("days.ahead", ("level", words.Level(ahead)), ("number", words.Number((int)ahead))));
        return string.Join("; ", parts);
    }
}
