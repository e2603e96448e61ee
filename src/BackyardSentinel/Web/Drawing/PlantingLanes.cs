using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Reporting;

namespace BackyardSentinel.Web.Drawing;

/// <summary>A planting's two lanes beneath the weather: its level, and its cover.</summary>
internal static class PlantingLanes
{
    /// <summary>Height of a lane of levels, px, and of one level.</summary>
    private const double Tall = 24, One = Tall / 4;

    /// <summary>A title with more characters would go beyond a narrow phone.</summary>
    private const int MostOnAPhone = 33;

    /// <summary>Draws them.</summary>
    /// <param name="svg">The drawing.</param>
    /// <param name="facts">The weather.</param>
    /// <param name="words">The words.</param>
    /// <param name="index">Which of the site's plantings.</param>
    /// <param name="y">The foot of their first title, px.</param>
    public static void Draw(Svg svg, WeatherFacts facts, PageWords words, int index, double y)
    {
        var name = facts.Site.Plantings[index].Called;
        var foot = y + 10 + Tall;
        svg.Margin(null, -5, y + 13, "4", "end");
        svg.Margin(null, -5, foot + 2, "0", "end");
        svg.Line("hr", 0, 100, y + 10, y + 10);
        svg.Line("ax", 0, 100, foot, foot);
        if (facts.Slice?.Plantings[index] is { } planting)
        {
            foreach (var held in planting.Levels)
                Level(svg, facts, planting, held, foot);
            CoverLane(svg, facts, words, planting, y + 62);
        }

        if (facts.Ahead is { } ahead)
        {
            for (var i = 0; i < ahead.Hours.Count; i++)
            {
                var (first, level) = (i, facts.LevelsAhead[index][i]);
                while (i + 1 < ahead.Hours.Count && facts.LevelsAhead[index][i + 1] == level)
                    i++;
                if (level < Infection.Level.Building)
                    continue;
                // A level holds from the end of the hour that brings it; one that holds already goes on.
                var goesOn = first == 0 && facts.Slice?.Plantings[index].Levels is [.., var last] && last.Value.Level == level;
                var x = facts.Axis.At(goesOn ? facts.Now : ahead.Hours[first].Start.AddHours(1));
                var to = facts.Axis.At(ahead.Hours[i].Start.AddHours(2));
                svg.Box("winm", x, to - x, foot - ((int)level * One), (int)level * One);
            }
        }

        Title(svg, y, "weather.lane.level", name, words);
        Title(svg, y + 54, "weather.lane.cover", name, words);
    }

    /// <summary>What a lane is; on a phone a long name is cut, as it stands in full in the table.</summary>
    private static void Title(Svg svg, double y, string key, string name, PageWords words)
    {
        var full = words.Say(key, ("planting", name));
        var left = Math.Max(4, name.Length - (full.Length - MostOnAPhone) - 1);
        svg.Margin("ttl wide", -28, y, full);
        svg.Margin(
            "ttl narrow",
            -28,
            y,
            full.Length <= MostOnAPhone || name.Length <= left ? full : words.Say(key, ("planting", name[..left].TrimEnd() + "…")));
    }

    private static void Level(Svg svg, WeatherFacts facts, PlantingSlice planting, Stretch<LevelHeld> held, double foot)
    {
        var (x, to, tall) = (facts.Axis.At(held.From), facts.Axis.At(held.To), (int)held.Value.Level * One);
        // What is short must be seen, too.
        var width = Math.Max(to - x, 0.3);
        if (held.Value.Level == Infection.Level.Unknown)
        {
            // Where readings are missing all lanes are hatched already.
            if (!facts.Gaps().Any(gap => gap.From < held.To && gap.To > held.From))
                svg.Box("gap", x, width, foot - Tall, Tall);
        }
        else if (held.Value.Level == Infection.Level.Building)
            svg.Box("bld", x, width, foot - tall, tall);
        else if (held.Value.Level >= Infection.Level.Possible)
            Window(svg, x, width, foot - tall, tall, planting.IsCovered(held, facts.Site.LevelRule), planting.BudsMayBeOpen(held.From));
    }

    /// <summary>A window: full, hatched where a fresh cover was on the tree, and an outline where the buds may have been shut.</summary>
    public static void Window(Svg svg, double x, double width, double y, double height, bool isCovered, bool ifOpen)
    {
        if (isCovered)
            svg.Box("wino fh", x, width, y, height, "url(#hatm)");
        else if (ifOpen)
            svg.Box("wino", x, width, y, height, "none");
        else
            svg.Box("win", x, width, y, height);
    }

    private static void CoverLane(Svg svg, WeatherFacts facts, PageWords words, PlantingSlice planting, double y)
    {
        var last = -20.0;
        foreach (var held in planting.Cover)
        {
            var (x, to) = (facts.Axis.At(held.From), facts.Axis.At(held.To));
            Cover(svg, held.Value, x, to, y);
            if (held.Value is not { } cover || x - last < 8)
                continue;
            // Short of now the line would go through the word.
            var isShort = facts.Axis.At(facts.Now) - x < 12 && x > 12;
            svg.Text(
                x - last < 18 ? "ink wide" : "ink",
                isShort ? facts.Axis.At(facts.Now) : x,
                y + 22,
                words.Say("cover." + cover.Word()),
                isShort ? -4 : 3,
                isShort ? "end" : null);
            last = x;
        }
    }

    /// <summary>A stretch of cover: fresh full, to be rechecked hatched, spent a dotted line, none nothing.</summary>
    public static void Cover(Svg svg, Cover? cover, double x, double to, double y)
    {
        switch (cover)
        {
            case Garden.Cover.Fresh:
                svg.Box("cov", x, to - x, y, 10);
                break;
            case Garden.Cover.Recheck:
                svg.Box("covr", x, to - x, y, 10, "url(#hat)");
                break;
            case Garden.Cover.Spent:
                svg.Line("covs", x, to, y + 9, y + 9, "2 5");
                break;
            case Garden.Cover.None or null:
                break;
        }
    }
}
