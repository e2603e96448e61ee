using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>
/// A planting's seasons above each other: sprays, the time in which it could be infected, its windows, and when curl was found.
/// </summary>
public static class SeasonsStrip
{
    private const double One = 62, Tall = 26;

    /// <summary>Draws it.</summary>
    /// <param name="year">The season in hand, whose months stand over all.</param>
    /// <param name="seasons">The seasons, the newest first.</param>
    /// <param name="words">The words.</param>
    public static IHtmlContent Draw(YearFacts year, IReadOnlyList<SeasonRow> seasons, PageWords words)
    {
        var height = (int)(24 + (seasons.Count * One));
        var svg = new Svg("seasons", height, words.Say("seasons.title", ("planting", year.Planting.Called)), words.Say("weather.in-table"));
        YearStrip.Months(svg, year.FirstDay, year.LastDay, year, words, height);
        for (var i = 0; i < seasons.Count; i++)
            Row(svg, seasons[i], year, words, 68 + (i * One));
        return svg.Finish();
    }

    private static void Row(Svg svg, SeasonRow row, YearFacts year, PageWords words, double foot)
    {
        var zone = year.Site.Zone;
        var known = row.Known is { } from ? row.Axis.At(from) : 100;
        var now = row.Axis.At(year.Now);
        if (Math.Min(known, now) > 0.5)
            svg.Box("gap", 0, Math.Min(known, now), foot - Tall, Tall);
        foreach (var gap in row.Known is null ? [] : row.Gaps)
        {
            var (x, to) = (Math.Max(row.Axis.At(gap.From), 0), Math.Min(row.Axis.At(gap.To), 100));
            if (to > x)
                svg.Box("gap", x, to - x, foot - Tall, Tall);
        }

        svg.Line("ax", 0, 100, foot, foot);
        svg.Margin("key", 0, foot - 34, YearStrip.SeasonText(row.Season));
        foreach (var open in row.Open)
        {
            var (x, to) = (row.Axis.At(open.From), row.Axis.At(open.To));
            if (to > x)
                svg.Box("covs", x, to - x, foot - Tall, Tall);
        }

        foreach (var window in row.Windows)
        {
            var x = row.Axis.At(window.OpenedAt);
            var width = Math.Min(Math.Max(1, row.Axis.At(window.ClosedAt ?? year.Now) - x), 100 - x);
            PlantingLanes.Window(
                svg, x, width, foot - YearStrip.Tall(window.Level), YearStrip.Tall(window.Level), window.Cover == Cover.Fresh, false);
        }

        foreach (var spray in row.Sprays)
            svg.Text("key", row.Axis.At(spray, zone), foot - 6, words.Say("seasons.spray"), anchor: "middle");
        if (row.CurlFound is not { } found)
            return;
        var at = row.Axis.At(found, zone);
        svg.Line("now", at, at, foot - Tall - 1, foot);
        svg.Text("key", at, foot - Tall - 5, words.Say("seasons.curl"), anchor: at > 80 ? "end" : "middle");
    }
}
