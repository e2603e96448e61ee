using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Reporting;
using BackyardSentinel.Weather;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>
/// A planting's season as one long strip: chill to its need and then warmth, the stages seen and to come, what was done, when it
/// could be infected and what the weather made of that, and the cover.
/// </summary>
public static class YearStrip
{
    private const double SumsTop = 46, SumsTall = 150;

    /// <summary>Draws it.</summary>
    /// <param name="facts">The season.</param>
    /// <param name="words">The words.</param>
    /// <param name="id">Begins the ids in it; unique on the page.</param>
    public static IHtmlContent Draw(YearFacts facts, PageWords words, string id = "year")
    {
        var top = facts.IsFollowed ? 196 : 38;
        var stages = facts.IsFollowed ? 36 + (facts.Stages.Count * 20) + 20 : 0;
        var done = top + stages;
        var height = done + 200;
        var svg = new Svg(id, height, Title(facts, words), News(facts, words));
        var now = facts.Axis.At(facts.Now);
        if (now < 100)
            svg.Box("fcbg", now, 100 - now, 20, height - 20);
        Gaps(svg, facts, height);
        Months(svg, facts.FirstDay, facts.LastDay, facts, words, height);
        if (now is > 0 and < 100)
            svg.Line("now", now, now, 20, height);
        if (facts.IsFollowed)
        {
            Sums(svg, facts, words);
            StageRows(svg, facts, words, top + 20);
        }

        Done(svg, facts, words, done);
        WindowLane(svg, facts, words, done + 94);
        svg.Margin("ttl", 0, done + 176, words.Say("year.lane.cover"));
        foreach (var held in (facts.Own?.Cover ?? []).Where(held => held.To > facts.Axis.From))
            PlantingLanes.Cover(svg, held.Value, facts.Axis.At(held.From), facts.Axis.At(held.To), done + 182);
        return svg.Finish();
    }

    /// <summary>What it is.</summary>
    private static string Title(YearFacts facts, PageWords words) =>
        words.Say("year.title", ("season", SeasonText(facts.Season)), ("planting", facts.Planting.Called));

    /// <summary>A season as people write it: 2026/27, or 2027 where it lies in one year.</summary>
    public static string SeasonText(Season season) => season.Start.Month >= 9
        ? FormattableString.Invariant($"{season.Year - 1}/{season.Year % 100:00}")
        : FormattableString.Invariant($"{season.Year}/{(season.Year + 1) % 100:00}");

    /// <summary>The news in sentences.</summary>
    public static string News(YearFacts facts, PageWords words)
    {
        List<string> news = [];
        if (facts is { Needs: not null, Slice: not null })
            news.Add(ChillSentence(facts, words));
        foreach (var (stage, dates) in facts.Stages)
        {
            if (dates.Expected is { } on)
                news.Add(words.Say(
                    facts.IsSeen(stage, on) ? "year.stage.seen" : on <= facts.Today ? "year.stage.reckoned" : "year.stage.expected",
                    ("stage", words.Say("stage.short." + stage.Code)),
                    ("day", words.Day(on))));
        }

        news.Add(words.Say("weather.in-table"));
        return string.Join(' ', news);
    }

    /// <summary>How the sums of chill and warmth stand, a sentence.</summary>
    public static string ChillSentence(YearFacts facts, PageWords words)
    {
        var chill = facts.ChillMetOn is { } met
            ? words.Say(
                !facts.ByHeatAlone ? "year.chill.met" : facts.FellShort ? "year.chill.short" : "year.chill.unmeasured",
                ("day", words.Day(met)))
            : words.Say("year.chill", ("chill", words.Number(facts.Chill, "0")), ("need", words.Number(facts.Needs!.ChillNeed)));
        return facts.HeatHours is > 0 and var heat && heat <= facts.Needs!.Stages[^1].DegreeHours
            ? $"{chill} {words.Say("year.heat", ("heat", words.Number(heat, "0")))}"
            : chill;
    }

    /// <summary>The months over a strip.</summary>
    internal static void Months(Svg svg, DateOnly first, DateOnly last, YearFacts facts, PageWords words, double height)
    {
        for (var month = first; month < last; month = month.AddMonths(1))
        {
            var x = facts.Axis.At(month, facts.Site.Zone);
            svg.Line("hr", x, x, 4, height);
            svg.Text("ink", x, 14, words.ShortMonth(month), 3);
        }
    }

    /// <summary>What was not known for half a day or more, the time before the first reading among it.</summary>
    private static void Gaps(Svg svg, YearFacts facts, double height)
    {
        foreach (var (from, to) in facts.LongGaps())
        {
            var (x, end) = (facts.Axis.At(from), facts.Axis.At(to));
            if (end <= x)
                continue;
            svg.Box("gap", x, Math.Max(0.4, end - x), 20, height - 20);
            svg.Text("key", (x + end) / 2, 104, "?", anchor: "middle");
        }
    }

    private static void Sums(Svg svg, YearFacts facts, PageWords words)
    {
        var needs = facts.Needs!;
        var axis = facts.Axis;
        var sums = (facts.Own?.Sums ?? []).Where(day => facts.Season.Contains(day.Day) && day.Day >= facts.FirstDay).ToList();
        var warmFrom = sums.Where(day => day.Warming).Select(day => day.Day)
            .Concat(facts.DaysAhead.Where(day => day.Warming).Select(day => day.Day))
            .Select(day => (DateOnly?)day)
            .FirstOrDefault();
        var turn = warmFrom is { } on ? axis.At(on, facts.Site.Zone) : 100;
        var chillTop = Math.Max(needs.ChillNeed * 1.33, sums.Where(day => !day.Warming).Select(day => day.Chill).DefaultIfEmpty(0).Max());
        var heatTop = needs.Stages.Max(stage => stage.DegreeHours) * 1.15;
        double Chill(double value) => SumsTall * (1 - Math.Clamp(value / chillTop, 0, 1));
        double Heat(double value) => SumsTall * (1 - Math.Clamp(value / heatTop, 0, 1));
        double X(DateOnly day) => axis.At(day.AddDays(1), facts.Site.Zone) * 10;
        var ahead = facts.DaysAhead.Where((day, i) => i % 3 == 0 || i == facts.DaysAhead.Count - 1).ToList();
        var warm = ahead.Where(day => day.Warming && day.Heat <= heatTop).ToList();
        var lastWarm = sums is [.., { Warming: true } last] && last.HeatHours <= heatTop ? last : default(SumsOfDay?);
        List<(double, double, double)?> fan =
            [.. warm.Select(day => ((double, double, double)?)(X(day.Day), Heat(day.LeastHeat), Heat(day.MostHeat)))];
        svg.Curves(SumsTop, SumsTall, [
            ("fan", Svg.Band(fan)),
            (
                "chill",
                Svg.Path(
                    sums.Where(day => !day.Warming || day.Day == warmFrom).Select(
                        day => ((double, double)?)(X(day.Day), Chill(day.Chill))))),
            ("chill fc", Svg.Path(ahead.Where(day => !day.Warming).Select(day => ((double, double)?)(X(day.Day), Chill(day.Chill))))),
            (
                "heat",
                Svg.Path(
                    sums.Where(day => day.Warming && day.HeatHours <= heatTop).Select(
                        day => ((double, double)?)(X(day.Day), Heat(day.HeatHours))))),
            ("heat fc", Svg.Path((lastWarm is { } from ? [(X(from.Day), Heat(from.HeatHours))] : Array.Empty<(double, double)>())
                .Concat(warm.Select(day => (X(day.Day), Heat(day.Heat)))).Select(point => ((double, double)?)point))),
        ]);
        svg.Line("ax", 0, turn, SumsTop + Chill(needs.ChillNeed), SumsTop + Chill(needs.ChillNeed), "7 3 1.5 3");
        svg.Text("ink", 0, SumsTop + Chill(needs.ChillNeed) - 6, words.Say("year.need", ("need", words.Number(needs.ChillNeed))));
        foreach (var stage in StagesAhead.Asked)
        {
            if (needs.Stages.FirstOrDefault(need => need.LeafBud == stage || need.FlowerBud == stage) is not { DegreeHours: > 0 } need
                || turn >= 100)
                continue;
            var y = SumsTop + Heat(need.DegreeHours);
            svg.Line("ax", turn, 100, y, y, "7 3 1.5 3");
            svg.Text(
                "ink",
                100,
                y - 4,
                words.Say(
                    "year.need.stage", ("stage", words.Say("stage.short." + stage.Code)), ("need", words.Number(need.DegreeHours, "0"))),
                anchor: "end");
        }

        svg.Line("ax", 0, 100, SumsTop + SumsTall, SumsTop + SumsTall);
        svg.Margin("ttl", 0, 38, words.Say("year.lane.sums." + needs.Chill.Word()));
    }

    private static void StageRows(Svg svg, YearFacts facts, PageWords words, double y)
    {
        svg.Margin("ttl", 0, y, words.Say("year.lane.stages"));
        y += 16;
        foreach (var (stage, dates) in facts.Stages)
        {
            Row(svg, facts, words.Say("stage.short." + stage.Code), dates, facts.IsSeen(stage, dates.Expected), y);
            y += 20;
        }

        var over = facts.ClosedOn is { } closed ? new StageDates(null, closed, null) : new StageDates(null, null, facts.OverAtTheLatest);
        Row(svg, facts, words.Say(facts.ClosedOn is null ? "year.over-by" : "year.over"), over, false, y);
    }

    private static void Row(Svg svg, YearFacts facts, string name, StageDates dates, bool isSeen, double y)
    {
        double? X(DateOnly? day) => day is { } on ? facts.Axis.At(on, facts.Site.Zone) : null;
        var (early, expected, late) = (X(dates.Early), X(dates.Expected), X(dates.Late));
        if ((early ?? expected ?? late) is not { } first)
            return;
        if (isSeen)
        {
            svg.Dot("seen", expected!.Value, y, 5.5);
        }
        else
        {
            var (from, to) = (early ?? expected ?? late, late ?? expected ?? early);
            svg.Line("span", from!.Value, to!.Value, y, y);
            if (early is { } e)
                svg.Line("span", e, e, y - 5, y + 5);
            if (late is { } l)
                svg.Line("span", l, l, y - 5, y + 5);
            if (expected is { } middle)
                svg.Dot("exp", middle, y, 4.5);
        }

        // Beside the mark there is room on one side or on the other.
        if (isSeen && expected is { } seen)
            first = seen;
        if (first > 20)
            svg.Text("ink", first, y + 4, name, -10, "end");
        else
            svg.Text("ink", late ?? expected ?? first, y + 4, name, 10);
    }

    private static void Done(Svg svg, YearFacts facts, PageWords words, double y)
    {
        svg.Margin("ttl", 0, y, words.Say("year.lane.done"));
        var foot = y + 60;
        double[] tops = [foot - 10, foot - 24, foot - 38];
        double[] last = [-10, -10, -10];
        List<(double X, double Top, string Letter)> letters = [];
        foreach (var mark in YearMarks.Of(facts))
        {
            var x = facts.Axis.At(mark.On, facts.Site.Zone);
            // The lowest row with room for a letter on a phone; where none has, the one with the most.
            var row = Array.FindIndex(last, before => x - before >= 2.4);
            if (row < 0)
                row = Array.IndexOf(last, last.Min());
            last[row] = x;
            svg.Line("ax", x, x, tops[row], foot);
            letters.Add((x, tops[row], mark.Letter));
        }

        // Letters stand on lines, never under them.
        foreach (var (x, letterTop, letter) in letters)
            svg.Text("key", x, letterTop - 4, letter, anchor: "middle");

        svg.Line("ax", 0, 100, foot, foot);
    }

    /// <summary>When it could be infected, and the windows of the rule that gives the level, numbered, higher for worse.</summary>
    private static void WindowLane(Svg svg, YearFacts facts, PageWords words, double y)
    {
        svg.Margin("ttl", 0, y, words.Say("year.lane.windows"));
        var foot = y + 50;
        svg.Line("ax", 0, 100, foot, foot);
        if (facts.Own is not { } own)
            return;
        foreach (var open in Joined(own.Tissue.Where(held => held.Value.Susceptible)))
        {
            var (x, to) = (facts.Axis.At(open.From), facts.Axis.At(open.To));
            if (to > x)
                svg.Box("covs", x, to - x, foot - 26, 26);
        }

        var last = -10.0;
        foreach (var (window, number) in Windows(facts).Select((window, i) => (window, i + 1)))
        {
            var (x, to) = (facts.Axis.At(window.OpenedAt), facts.Axis.At(window.ClosedAt ?? facts.Now));
            var (width, tall) = (Math.Min(Math.Max(1, to - x), 100 - x), Tall(window.Level));
            PlantingLanes.Window(svg, x, width, foot - tall, tall, window.Cover == Cover.Fresh, own.BudsMayBeOpen(window.OpenedAt));
            if (x - last < 2)
                continue;
            svg.Text("key", x + (width / 2), foot - Math.Max(tall, 26) - 4, words.Number(number), anchor: "middle");
            last = x;
        }
    }

    /// <summary>The season's windows by the rule that gives the level, in the order of their numbers.</summary>
    public static IEnumerable<InfectionWindow> Windows(YearFacts facts) => (facts.Own?.Windows ?? []).Where(window =>
        !window.Sheltered && window.Rule == facts.Site.LevelRule && facts.Season.Contains(LocalDay.Of(window.OpenedAt, facts.Site.Zone)));

    /// <summary>How tall a window of a level stands in a lane of 26 px.</summary>
    internal static double Tall(Level level) => level switch
    {
        Level.Severe => 22,
        Level.Likely => 16,
        _ => 9,
    };

    /// <summary>Stretches that follow one another as one.</summary>
    private static IEnumerable<(DateTimeOffset From, DateTimeOffset To)> Joined(IEnumerable<Stretch<Tissue>> stretches)
    {
        (DateTimeOffset From, DateTimeOffset To)? running = null;
        foreach (var stretch in stretches)
        {
            if (running is { } before && before.To == stretch.From)
            {
                running = (before.From, stretch.To);
                continue;
            }

            if (running is { } over)
                yield return over;
            running = (stretch.From, stretch.To);
        }

        if (running is { } rest)
            yield return rest;
    }
}
