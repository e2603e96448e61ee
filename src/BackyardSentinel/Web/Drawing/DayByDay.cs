using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using BackyardSentinel.Reporting;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>The worst that each planting came to on each of some days, and what the forecast would bring.</summary>
public static class DayByDay
{
    /// <summary>Days back without today, and days ahead.</summary>
    public const int Back = 14, Ahead = 3;

    private const double Tall = 24;

    /// <summary>A name with more characters would go beyond a narrow phone.</summary>
    private const int MostOnAPhone = 30;

    /// <summary>Draws it.</summary>
    /// <param name="plantings">The plantings' names and days; each has the same days.</param>
    /// <param name="today">Today.</param>
    /// <param name="words">The words.</param>
    public static IHtmlContent Draw(IReadOnlyList<(string Name, IReadOnlyList<DayLevel> Days)> plantings, DateOnly today, PageWords words)
    {
        var days = plantings.Count > 0 ? plantings[0].Days : [];
        var height = 36 + (plantings.Count * 52);
        var svg = new Svg("days", height, words.Say("days.title"), words.Say("weather.in-table"));
        var step = 100.0 / Math.Max(1, days.Count);
        for (var i = 0; i < days.Count; i++)
        {
            if (days[i].Day.DayOfWeek != DayOfWeek.Monday)
                continue;
            svg.Line("hr", i * step, i * step, 2, height - 2);
            if (i * step < 90)
                svg.Text(i * step < 76 ? null : "wide", i * step, 12, $"{words.Weekday(days[i].Day)} {words.ShortDay(days[i].Day)}", 3);
        }

        var edge = (Back + 1) * step;
        if (edge < 100)
            svg.Box("fcbg", edge, 100 - edge, 18, height - 20);
        for (var row = 0; row < plantings.Count; row++)
        {
            var foot = 70 + (row * 52.0);
            Title(svg, foot - 34, plantings[row].Name);
            svg.Line("ax", 0, 100, foot, foot);
            for (var i = 0; i < days.Count; i++)
                Day(svg, plantings[row].Days[i], i * step, step, foot);
        }

        if (edge < 100)
        {
            svg.Line("now", edge, edge, 16, height - 4);
            svg.Text("key", edge, 27, words.Say("days.today"), -5, "end");
            svg.Text("key", edge, 27, words.Say("days.next"), 4);
        }

        return svg.Finish();
    }

    /// <summary>Whose row it is; on a phone a long name is cut, as it stands in full in the table.</summary>
    private static void Title(Svg svg, double y, string name)
    {
        svg.Margin("ttl wide", 0, y, name);
        svg.Margin("ttl narrow", 0, y, name.Length <= MostOnAPhone ? name : name[..(MostOnAPhone - 1)].TrimEnd() + "…");
    }

    private static void Day(Svg svg, in DayLevel day, double x, double step, double foot)
    {
        var (left, width) = (x + (step * 0.12), step * 0.76);
        if (day.HasUnknown || day is { Highest: null, Ahead: null })
        {
            svg.Box("gap", left, width, foot - Tall, Tall);
            if (day.Highest is null or < Level.Possible)
                svg.Text("key", x + (step / 2), foot - 7, "?", anchor: "middle");
        }

        var tall = (int)(day.Highest ?? Level.Clear) * Tall / 4;
        if (day.Highest >= Level.Possible)
            PlantingLanes.Window(svg, left, width, foot - tall, tall, day.IsCovered, day.IfOpen);
        else if (day.Highest == Level.Building)
            svg.Box("bld", left, width, foot - tall, tall);
        else if (day is { Highest: Level.Clear, HasUnknown: false } or { Highest: null, Ahead: Level.Clear })
            svg.Dot("bld", x + (step / 2), foot - 5, 2);
        if (day.Ahead > (day.Highest ?? Level.Clear))
            svg.Box("winm", left, width, foot - ((int)day.Ahead.Value * Tall / 4), (int)day.Ahead.Value * Tall / 4);
    }
}
