using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>
/// The weather as lanes above each other: temperature, humidity, rain, wet leaves, wet spells, and for each planting its level and
/// its cover. What was not measured is hatched, what is forecast stands on dotted ground.
/// </summary>
public static class WeatherStrip
{
    private const double Top = 40, Temperature = 88, Humidity = 236, Rain = 320, Wet = 398, Spells = 444;

    private static readonly double[] HumidityMarks = [50, 100];

    /// <summary>Draws it.</summary>
    /// <param name="facts">The weather.</param>
    /// <param name="words">The words, by the site's clock.</param>
    public static IHtmlContent Draw(WeatherFacts facts, PageWords words)
    {
        var labels = facts.Days <= 7;
        var firstPlanting = labels ? 486 : 474;
        var height = firstPlanting + (facts.Site.Plantings.Count * 104) - 4;
        var foot = height - 6;
        var title = words.Say("weather.title", ("site", facts.Site.Id), ("days", words.Number(facts.Days)));
        var svg = new Svg("weather", height, title, News(facts, words));
        Ground(svg, facts, words, foot);
        Gaps(svg, facts, firstPlanting, foot);
        var bins = WeatherBin.Of(facts, WeatherBin.HoursFor(facts.Days));
        Curve(svg, facts, words, bins, ofTemperature: true);
        Curve(svg, facts, words, bins, ofTemperature: false);
        Bars(svg, facts, words, bins);
        WetLeaves(svg, facts, words);
        SpellLane(svg, facts, words, labels);
        for (var i = 0; i < facts.Site.Plantings.Count; i++)
            PlantingLanes.Draw(svg, facts, words, i, firstPlanting + (104 * i));
        Edge(svg, facts, words);
        return svg.Finish();
    }

    /// <summary>The news in sentences: the newest spell, and what is missing.</summary>
    public static string News(WeatherFacts facts, PageWords words)
    {
        List<string> news = [words.Say("weather.lanes")];
        if (facts.Slice is { Spells: [.., var spell] } slice)
            news.Add(slice.RunningSpell
                ? words.Say("weather.news.wet", ("since", words.Moment(spell.Start)))
                : words.Say("weather.news.spell", ("from", words.Moment(spell.Start)), ("to", words.Moment(spell.End))));
        foreach (var gap in facts.GapSpans().Take(3))
            news.Add(GapSentence(gap.From, gap.To, words));
        news.Add(words.Say("weather.in-table"));
        return string.Join(' ', news);
    }

    /// <summary>What is missing, a sentence.</summary>
    public static string GapSentence(DateTimeOffset from, DateTimeOffset to, PageWords words) =>
        words.Say("weather.gap", ("from", words.Moment(from)), ("to", words.Moment(to, from)));

    private static void Ground(Svg svg, WeatherFacts facts, PageWords words, double foot)
    {
        var (axis, zone) = (facts.Axis, facts.Site.Zone);
        if (facts.Until > facts.Now)
            svg.Box("fcbg", axis.At(facts.Now), 100 - axis.At(facts.Now), Top, foot - Top);
        for (var day = LocalDay.Of(facts.From, zone); LocalDay.StartOf(day, zone) < facts.Until; day = day.AddDays(1))
        {
            if (facts.Days > 7 && day.DayOfWeek != DayOfWeek.Monday)
                continue;
            var x = axis.At(day, zone);
            svg.Line("hr", x, x, 36, foot);
            // At the edge there is no room for a name, on a phone not even for a short one.
            var isShort = facts.Days is > 3 and <= 7;
            if (x > 95)
                continue;
            var mayNarrow = x <= (isShort ? 92 : 84);
            var weekday = words.Weekday(day);
            if (x <= 92 && (isShort || !mayNarrow))
                svg.Text("ink narrow", x, 14, weekday.Length > 2 ? weekday[..2] : weekday, 3);
            svg.Text(isShort || !mayNarrow ? "ink wide" : "ink", x, 14, weekday, 3);
            svg.Text(mayNarrow ? null : "wide", x, 30, isShort ? words.Number(day.Day) : words.ShortDay(day), 3);
        }
    }

    private static void Gaps(Svg svg, WeatherFacts facts, double firstPlanting, double foot)
    {
        var last = -10.0;
        foreach (var gap in facts.GapSpans())
        {
            var (x, to) = (facts.Axis.At(gap.From), facts.Axis.At(gap.To));
            var width = Math.Max(to - x, 0.4);
            svg.Box("gap", x, width, Top, foot - Top);
            // Signs that would stand on each other say no more than one.
            if (x + (width / 2) - last < 3)
                continue;
            last = x + (width / 2);
            svg.Text("key", last, Temperature + 16, "?", anchor: "middle");
            svg.Text("key", last, Humidity + 20, "?", anchor: "middle");
            for (var i = 0; i < facts.Site.Plantings.Count; i++)
                svg.Text("key", last, firstPlanting + 28 + (104 * i), "?", anchor: "middle");
        }
    }

    private static void Curve(Svg svg, WeatherFacts facts, PageWords words, IReadOnlyList<WeatherBin> bins, bool ofTemperature)
    {
        var (top, height) = ofTemperature ? (Temperature, 120.0) : (Humidity, 56.0);
        var unit = words.Units.UnitOf(Dimension.Temperature);
        double Shown(double value) => ofTemperature ? unit.FromReckoned(value) : value;
        var (low, high) = ofTemperature ? facts.LevelLimits.TemperaturesC : (facts.WetHumidityPct, null);
        var limits = new[] { low, high }.OfType<double>().Select(Shown).ToList();
        var known = bins.Select(
            bin => ofTemperature ? bin.Temperature : bin.Humidity).OfType<(double Low, double Mean, double High)>().ToList();
        var scale = ofTemperature
            ? Scale.Round(
                known.SelectMany(one => new[] { Shown(one.Low), Shown(one.High) }),
                [.. limits, Shown(0), Shown(10)],
                ofTemperature && unit != Unit.Celsius ? 10 : 5)
            : new Scale(Math.Min(50, Math.Floor(known.Select(one => one.Low).DefaultIfEmpty(50).Min() / 10) * 10), 100, 50);

        foreach (var mark in ofTemperature ? scale.Marks() : HumidityMarks)
        {
            var y = top + scale.At(mark, height);
            svg.Line("hr", 0, 100, y, y);
            if (limits.TrueForAll(limit => Math.Abs(scale.At(limit, height) - scale.At(mark, height)) > 12) && mark < scale.High)
                svg.Margin(null, -5, y + 4, words.Number(mark, "0").Replace('-', '−'), "end");
        }

        foreach (var limit in limits)
        {
            var y = top + scale.At(limit, height);
            svg.Line("lim", 0, 100, y, y);
            svg.Margin("lim-t", -5, y + 4, words.Number(limit, "0"), "end");
        }

        var look = ofTemperature ? "temp" : "hum";
        svg.Curves(top, height, facts.Days > 7 ? Bands(look) : Lines(look));
        svg.Margin("ttl", -28, top - 8, Title(facts, words, ofTemperature, limits));

        IEnumerable<(string, string)> Lines(string line)
        {
            List<(DateTimeOffset At, double? Value)> measured =
                [.. (facts.Slice?.Hours ?? []).Select(hour => (hour.Start.AddMinutes(30), ofTemperature ? hour.MeanC : hour.HumidityPct))];
            List<(DateTimeOffset At, double? Value)> ahead =
                [.. facts.HoursAhead.Select(hour => (hour.Start.AddMinutes(30), ofTemperature ? hour.TemperatureC : hour.HumidityPct))];
            if (measured is [.., { Value: not null } last] && ahead.Count > 0)
                ahead.Insert(0, last);
            yield return (line, Svg.Path(Unbridged(measured).Select(Point)));
            yield return (line + " fc", Svg.Path(Unbridged(ahead).Select(Point)));
        }

        IEnumerable<(string, string)> Bands(string line)
        {
            foreach (var isForecast in new[] { false, true })
            {
                var part = bins.Where(bin => bin.IsForecast == isForecast).ToList();
                var fc = isForecast ? " fc" : "";
                yield return ($"band {line}b{fc}", Svg.Band(part.Select(bin => (ofTemperature ? bin.Temperature : bin.Humidity) is { } one
                    ? ((double, double, double)?)(X(Middle(bin)), scale.At(Shown(one.Low), height), scale.At(Shown(one.High), height))
                    : null)));
                yield return (line + fc, Svg.Path(part.Select(bin =>
                    Point((Middle(bin), (ofTemperature ? bin.Temperature : bin.Humidity) is { } one ? one.Mean : null)))));
            }
        }

        (double, double)? Point((DateTimeOffset At, double? Value) one) =>
            one.Value is { } value ? (X(one.At), scale.At(Shown(value), height)) : null;

        double X(DateTimeOffset at) => facts.Axis.At(at) * 10;
    }

    /// <summary>Hours that do not follow one another are not joined.</summary>
    private static IEnumerable<(DateTimeOffset At, double? Value)> Unbridged(List<(DateTimeOffset At, double? Value)> hours)
    {
        for (var i = 0; i < hours.Count; i++)
        {
            if (i > 0 && hours[i].At - hours[i - 1].At > TimeSpan.FromHours(2))
                yield return (hours[i].At, null);
            yield return hours[i];
        }
    }

    private static DateTimeOffset Middle(in WeatherBin bin) => bin.From + ((bin.To - bin.From) / 2);

    private static string Title(WeatherFacts facts, PageWords words, bool ofTemperature, List<double> limits)
    {
        if (!ofTemperature)
            return limits is [var wet]
                ? words.Say("weather.lane.humidity.wet", ("limit", words.Number(wet, "0")))
                : words.Say("weather.lane.humidity");
        var unit = words.Units.TemperatureUnit;
        return facts.Site.RuleOf(facts.Site.LevelRule) switch
        {
            RuleName.WetHours => words.Say("weather.lane.temperature.below", ("unit", unit), ("limit", words.Number(limits[0], "0"))),
            RuleName.RainDay => words.Say("weather.lane.temperature.above", ("unit", unit), ("limit", words.Number(limits[0], "0"))),
            RuleName.TwoDay => words.Say(
                "weather.lane.temperature.between",
                ("unit", unit),
                ("low", words.Number(limits[0], "0")),
                ("high", words.Number(limits[1], "0"))),
        };
    }

    private static void Bars(Svg svg, WeatherFacts facts, PageWords words, IReadOnlyList<WeatherBin> bins)
    {
        var unit = words.Units.UnitOf(Dimension.Depth);
        var scale = Scale.Rain(
            bins.Select(bin => unit.FromReckoned(bin.RainMm ?? 0)).DefaultIfEmpty(0).Max(), unit == Unit.Millimetre ? 3 : 0.1);
        svg.Line("hr", 0, 100, Rain, Rain);
        svg.Margin(null, -5, Rain + 5, words.Number(scale.High, "0.##"), "end");
        svg.Margin(null, -5, Rain + 54, "0", "end");
        foreach (var bin in bins.Where(bin => bin.RainMm > 0))
        {
            var (x, to) = (facts.Axis.At(bin.From), facts.Axis.At(bin.To));
            var y = scale.At(unit.FromReckoned(bin.RainMm!.Value), 50);
            // A little air between bars, and rain that is more than none is never too small to be seen.
            var tall = Math.Max(50 - y, 1.5);
            svg.Box(bin.IsForecast ? "rainf" : "rain", x + ((to - x) * 0.08), (to - x) * 0.84, Rain + 50 - tall, tall);
        }

        svg.Line("ax", 0, 100, Rain + 50, Rain + 50);
        var hours = WeatherBin.HoursFor(facts.Days);
        svg.Margin("ttl", -28, Rain - 8, facts.Site.HasRainGauge
            ? words.Say("weather.lane.rain." + hours, ("unit", unit.Symbol))
            : words.Say("weather.lane.rain.none"));
    }

    private static void WetLeaves(Svg svg, WeatherFacts facts, PageWords words)
    {
        foreach (var wet in (facts.Slice?.Wetness ?? []).Where(stretch => stretch.Value == WetnessState.Wet))
            svg.Box("wet", facts.Axis.At(wet.From), facts.Axis.At(wet.To) - facts.Axis.At(wet.From), Wet, 14);
        if (facts.Ahead is { } ahead)
        {
            for (var i = 0; i < ahead.Hours.Count; i++)
            {
                if (ahead.Wetness[i].State != WetnessState.Wet)
                    continue;
                var from = ahead.Hours[i].Start;
                while (i + 1 < ahead.Hours.Count
                    && ahead.Wetness[i + 1].State == WetnessState.Wet
                    && ahead.Hours[i + 1].Start == ahead.Hours[i].Start.AddHours(1))
                    i++;
                var (x, to) = (facts.Axis.At(from), facts.Axis.At(ahead.Hours[i].Start.AddHours(1)));
                svg.Box("wetf", x, to - x, Wet, 14);
            }
        }

        svg.Line("ax", 0, 100, Wet + 14, Wet + 14);
        svg.Margin("ttl", -28, Wet - 8, words.Say("weather.lane.wet"));
    }

    private static void SpellLane(Svg svg, WeatherFacts facts, PageWords words, bool labels)
    {
        var last = -20.0;
        foreach (var spell in facts.Slice?.Spells ?? [])
            Bracket(spell.Start, spell.End, "spell", words.Hours(spell.WetHours), false);
        foreach (var (spell, i) in (facts.Ahead?.Spells ?? []).Select((spell, i) => (spell, i)))
        {
            var goesOn = i == 0 && facts.Ahead!.FirstGoesOn;
            if (spell.End > facts.Now)
                Bracket(
                    goesOn ? facts.Now : spell.Start,
                    spell.End,
                    "spell fc",
                    goesOn ? words.Say("weather.spell.to", ("hours", words.Hours(spell.WetHours))) : words.Hours(spell.WetHours),
                    true);
        }

        svg.Margin("ttl", -28, Spells - 12, words.Say("weather.lane.spells"));

        void Bracket(DateTimeOffset from, DateTimeOffset to, string look, string label, bool isForecast)
        {
            var (x, end) = (facts.Axis.At(from), facts.Axis.At(to));
            if (end <= x)
                return;
            svg.Line(look, x, end, Spells, Spells);
            svg.Line(look, x, x, Spells - 4, Spells + 4);
            svg.Line(look, end, end, Spells - 4, Spells + 4);
            var middle = (x + end) / 2;
            // Labels that would stand on each other are left to the table, on small screens earlier.
            if (!labels || middle - last < 6)
                return;
            var look2 = middle - last < 14 || (isForecast && middle > 94) ? "ink wide" : "ink";
            svg.Text(look2, Math.Clamp(middle, 2, 97), Spells + 18, label, anchor: "middle");
            last = middle;
        }
    }

    private static void Edge(Svg svg, WeatherFacts facts, PageWords words)
    {
        var x = facts.Axis.At(facts.Now);
        svg.Line("now", x, x, 36, 36 + 444 + (facts.Site.Plantings.Count * 104) - (facts.Days <= 7 ? 4 : 16));
        if (facts.Until > facts.Now)
            svg.Text(x < 66 ? "key" : "key wide", x, 54, words.Say("weather.forecast"), 5);
        svg.Text("key", x, 54, words.Say("weather.now"), -5, "end");
    }
}
