using System.Text.RegularExpressions;
using System.Xml.Linq;
using BackyardSentinel.Demo;
using BackyardSentinel.Infection;
using BackyardSentinel.Reporting;
using BackyardSentinel.Units;
using BackyardSentinel.Web.Drawing;
using CsCheck;

namespace BackyardSentinel.Tests.Web.Drawing;

public sealed partial class DrawingTests
{
    private static readonly DateTimeOffset March = new(2027, 3, 4, 5, 40, 0, TimeSpan.Zero);

    [Fact]
    public void Every_drawing_is_well_formed_says_its_news_and_stays_within_its_width() =>
        Gen.Select(Gen.Int[0, 125 * 144], Gen.Bool, Gen.Bool).Sample((step, us, withForecast) =>
        {
            var scene = new Scene(
                DemoWeather.Begin.AddMinutes(10 * step), "a \"<b>&'tree", us ? UnitSystem.Us : UnitSystem.Metric, withForecast);
            if (scene.Slice(DateTimeOffset.MinValue) is null)
                return;
            foreach (var drawing in scene.All())
            {
                var svg = XDocument.Parse(drawing).Root!;
                Assert.Equal("img", svg.Attribute("role")!.Value);
                var ids = svg.Descendants().Attributes("id").ToDictionary(id => id.Value, id => id.Parent!.Value);
                Assert.All(svg.Attribute("aria-labelledby")!.Value.Split(' '), id => Assert.True(ids[id].Length > 10));
                Assert.DoesNotContain("NaN", drawing, StringComparison.Ordinal);
                Assert.DoesNotContain("Infinity", drawing, StringComparison.Ordinal);
                Assert.Empty(svg.Descendants().Attributes("style"));
                foreach (var element in svg.Descendants())
                    AssertWithin(element);
            }
        }, iter: 12, threads: 1);

    [Fact]
    public void No_culture_changes_a_drawing()
    {
        var before = CultureInfo.CurrentCulture;
        var plain = new Scene(March).All().ToList();
        try
        {
            var other = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            (other.NumberFormat.NumberDecimalSeparator, other.NumberFormat.NegativeSign) = (",", "~");
            CultureInfo.CurrentCulture = other;

            Assert.Equal(plain, new Scene(March).All());
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void Classes_are_those_of_the_style_sheet()
    {
        var sheet = File.ReadAllText(Checkout.Path("src", "BackyardSentinel", "Web", "Files", "style.css"));
        var used = new Scene(March)
            .All()
            .SelectMany(drawing => ClassNames().Matches(drawing))
            .SelectMany(match => match.Groups[1].Value.Split(' '));

        Assert.All(used.Distinct(), one => Assert.Matches($@"\.{one}[^a-z0-9-]", sheet));
    }

    [Fact]
    public void What_was_not_measured_is_hatched_and_no_line_goes_over_it()
    {
        // The hub of the demo is silent on 14 April from 05:00 to 19:00.
        var scene = new Scene(new DateTimeOffset(2027, 4, 15, 12, 0, 0, TimeSpan.Zero));
        var facts = scene.Weather(3);
        var svg = XDocument.Parse(Scene.Text(WeatherStrip.Draw(facts, scene.Words))).Root!;
        var gap = Assert.Single(
            svg.Elements(svg.Name.Namespace + "rect"), rect => rect.Attribute("class")!.Value == "gap" && Y(rect) == 40);
        var (from, width) = (Percent(gap.Attribute("x")!.Value), Percent(gap.Attribute("width")!.Value));

        Assert.Equal(facts.Axis.At(new DateTimeOffset(2027, 4, 14, 5, 0, 0, TimeSpan.Zero)), from, 2.0);
        Assert.Equal(100 * (TimeSpan.FromHours(14) / (facts.Until - facts.From)), width, 2.0);
        var measured = svg.Descendants().Single(path => path.Attribute("class")?.Value == "temp").Attribute("d")!.Value;
        Assert.All(
            Numbers().Matches(measured).Select(match => double.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture) / 10),
            x => Assert.False(x > from + 1 && x < from + width - 1));
        Assert.Equal(2, measured.Count(c => c == 'M'));
        Assert.Contains("Readings are missing from Wed 14 April", svg.Value, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_forecast_the_drawing_ends_now()
    {
        var svg = Scene.Text(WeatherStrip.Draw(new Scene(March, withForecast: false).Weather(7), new Scene(March).Words));

        Assert.DoesNotContain("fcbg", svg, StringComparison.Ordinal);
        Assert.DoesNotContain("forecast</text>", svg, StringComparison.Ordinal);
        Assert.Contains("<line class=\"now\" x1=\"100%\"", svg, StringComparison.Ordinal);
    }

    [Fact]
    public void Days_are_drawn_as_they_were()
    {
        var words = new Scene(March).Words;
        DayLevel[] days =
        [
            new(new DateOnly(2027, 3, 1), Level.Clear, false, false, false, null),
            new(new DateOnly(2027, 3, 2), Level.Building, false, false, false, null),
            new(new DateOnly(2027, 3, 3), Level.Likely, false, true, false, null),
            new(new DateOnly(2027, 3, 4), Level.Clear, true, false, false, Level.Possible),
        ];

        Assert.Equal(
            """
            <svg class="strip" width="100%" height="88" role="img" aria-labelledby="days-t days-d"><title id="days-t">The highest level of each day for each planting, two weeks back and three days ahead</title><desc id="days-d">All figures are in the table below.</desc><line class="hr" x1="0%" x2="0%" y1="2" y2="86"/><text x="0%" dx="3" y="12">Mon 1 Mar</text><text class="ttl wide" x="0" y="36">a &lt; b</text><text class="ttl narrow" x="0" y="36">a &lt; b</text><line class="ax" x1="0%" x2="100%" y1="70" y2="70"/><circle class="bld" cx="12.5%" cy="65" r="2"/><rect class="bld" x="28%" width="19%" y="64" height="6"/><rect class="wino fh" fill="url(#hatm)" x="53%" width="19%" y="52" height="18"/><rect class="gap" x="78%" width="19%" y="46" height="24"/><text class="key" x="87.5%" y="63" text-anchor="middle">?</text><rect class="winm" x="78%" width="19%" y="58" height="12"/></svg>
            """,
            Scene.Text(DayByDay.Draw([("a < b", days)], new DateOnly(2027, 3, 4), words)));
    }

    [Fact]
    public void A_seen_stage_is_a_filled_dot_and_one_to_come_has_its_span()
    {
        var scene = new Scene(March);
        var (seen, reckoned) = (
            Scene.Text(YearStrip.Draw(scene.Year(), scene.Words)), Scene.Text(YearStrip.Draw(scene.Year(1), scene.Words)));

        Assert.Single(Dots("seen").Matches(seen));
        Assert.Equal(3, Dots("exp").Count(seen));
        Assert.Empty(Dots("seen").Matches(reckoned));
        Assert.Contains("buds swell: seen on 22 February.", seen, StringComparison.Ordinal);
    }

    [Fact]
    public void Seasons_stand_above_each_other_with_what_is_known_of_each()
    {
        var scene = new Scene(new DateTimeOffset(2027, 5, 20, 0, 0, 0, TimeSpan.Zero));
        var rows = SeasonRow.Of(
            scene.Year(),
            scene.Slice(DateTimeOffset.MinValue),
            DemoGarden.Journal.Append(new Garden.ScoutEntry(0, "low-terrace", "old-peach", new DateOnly(2026, 4, 6), 20, 5)));

        Assert.Equal([2027, 2026], rows.Select(row => row.Season.Year));
        Assert.Equal((new DateOnly(2027, 2, 22), new DateOnly(2027, 3, 27)), (rows[0].SwellSeen, rows[0].CurlFound));
        Assert.Equal(4, rows[0].Windows.Count);
        Assert.Equal((null, 1, new DateOnly(2026, 4, 6)), (rows[1].Known, rows[1].Looks, rows[1].CurlFound));
        Assert.Empty(rows[1].Windows);
    }

    private static Regex Dots(string look) => new($"<circle class=\"{look}\"");

    private static void AssertWithin(XElement element)
    {
        foreach (var name in new[] { "x", "x1", "x2", "cx" })
        {
            if (element.Attribute(name)?.Value is not { } at || !at.EndsWith('%'))
                continue;
            Assert.InRange(Percent(at), 0, 100);
            if (name == "x" && element.Attribute("width")?.Value is { } width && width.EndsWith('%'))
                Assert.InRange(Percent(at) + Percent(width), 0, 101.1);
        }
    }

    private static double Percent(string text) => double.Parse(text[..^1], CultureInfo.InvariantCulture);

    private static double Y(XElement element) => double.Parse(element.Attribute("y")!.Value, CultureInfo.InvariantCulture);

    [GeneratedRegex("class=\"([^\"]*)\"")]
    private static partial Regex ClassNames();

    [GeneratedRegex("[ML]([0-9.]+) ")]
    private static partial Regex Numbers();
}
