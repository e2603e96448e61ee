using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;
using BackyardSentinel.Web.Now;

namespace BackyardSentinel.Web.Weather;

/// <summary>Puts the weather of a site into words and lines: how wet was it, how long still?</summary>
internal static class WeatherPage
{
    private const int UsualDays = 7;

    private static readonly int[] Days = [3, UsualDays, 30];

    /// <summary>Makes the view. Runs on the loop's thread; it is drawn elsewhere.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    /// <param name="asked">How many days back are asked for; anything but a choice is the usual one.</param>
    public static WeatherView Of(Visit visit, GardenNow now, string? asked)
    {
        var (words, watch) = (visit.Words, visit.WatchIn(now));
        var days = Days.FirstOrDefault(one => one.ToString(System.Globalization.CultureInfo.InvariantCulture) == asked, UsualDays);
        // Drawn up to what has been judged, which for some minutes after midnight is still of yesterday.
        var judged = watch.LastInterval?.End ?? now.At;
        var slice = now.Almanacs?.Slice(watch, WeatherFacts.StartFor(visit.Site, days, judged), DateTimeOffset.MaxValue);
        var hasLeafSensor = visit.Parts.Garden.SeriesOf(visit.Site.Id).Any(series => series.Quantity == Quantity.LeafWetness);
        var facts = WeatherFacts.Of(watch, slice, now.FreshForecast, days, now.At, hasLeafSensor);
        List<string> lines = [];
        if (slice is not null)
            NowHeadline.AddRain(visit, now, lines);
        return new WeatherView(
            Leaves.Of(visit, now, Chapter.Weather),
            Headline(visit, now, facts),
            lines,
            AsOf(visit, now, facts),
            words.Say(
                facts.Ahead is null ? "weather.heading" : "weather.heading.ahead", ("site", visit.Site.Id), ("days", words.Number(days))),
            [.. Days.Select(one => new DaysChoice(
                words.Say("weather.days", ("days", words.Number(one))),
                visit.Link($"/weather?days={words.Number(one)}"),
                one == days))],
            facts);
    }

    private static string Headline(Visit visit, GardenNow now, WeatherFacts facts)
    {
        var words = visit.Words;
        if (facts.Slice is not { Wetness: [.., var held] } slice)
            return words.Say("now.first");
        var since = words.Moment(held.From, now.At);
        if (held.Value == WetnessState.Unknown)
            return words.Say("weather.unknown", ("since", since));
        if (slice is { RunningSpell: true, Spells: [.., var spell] })
        {
            var figures = words.List([
                words.Hours(spell.WetHours),
                .. visit.Site.HasRainGauge ? new[] { words.Rain(spell.RainMm) } : [],
                .. spell.MeanTempC is { } mean ? new[] { words.Temperature(mean) } : [],
            ]);
            return held.Value == WetnessState.Wet
                ? words.Say("weather.wet", ("since", words.Moment(spell.Start, now.At)), ("figures", figures))
                : words.Say("weather.wet.gap", ("since", words.Moment(spell.Start, now.At)), ("dry", since), ("figures", figures));
        }

        if (held.Value == WetnessState.Wet)
            return words.Say("weather.dew", ("since", since));
        // Nobody knows how it was before.
        if (slice.Wetness.Count > 1 ? slice.Wetness[^2].Value == WetnessState.Unknown : slice.From > facts.From)
            return words.Say("weather.dry.known", ("since", since));
        return held.From <= facts.From
            ? words.Say("weather.dry.long", ("days", words.Number(facts.Days)))
            : words.Say("weather.dry", ("since", since));
    }

    private static string AsOf(Visit visit, GardenNow now, WeatherFacts facts)
    {
        var words = visit.Words;
        if (facts.Slice is null)
            return words.Say("now.as-of.none", ("site", visit.Site.Id));
        var asOf = words.Say("weather.as-of", ("site", visit.Site.Id), ("time", words.Moment(facts.Now, now.At)));
        var forecast = now.Forecast is not { } kept ? words.Say("now.as-of.no-forecast")
            : kept.IsStale(now.At) ? words.Say("now.as-of.stale-forecast")
            : words.Say("now.as-of.forecast", ("time", words.Moment(kept.Issued, now.At)));
        return $"{asOf} {forecast}";
    }
}
