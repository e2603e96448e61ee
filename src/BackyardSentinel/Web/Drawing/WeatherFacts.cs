using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Reporting;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Web.Drawing;

/// <summary>The weather of some days back and some ahead, as it is drawn and told.</summary>
public sealed record WeatherFacts
{
    private const int DaysAhead = 3;

    private WeatherFacts(Site site, int days, DateTimeOffset now, AlmanacSlice? slice)
    {
        (Site, Days, Now, Slice) = (site, days, now, slice);
        From = StartFor(site, days, now);
    }

    /// <summary>The site.</summary>
    public Site Site { get; }

    /// <summary>How many local days back, today among them.</summary>
    public int Days { get; }

    /// <summary>Its left edge, UTC: a local midnight.</summary>
    public DateTimeOffset From { get; }

    /// <summary>Up to here it is measured, UTC.</summary>
    public DateTimeOffset Now { get; }

    /// <summary>Its right edge, UTC.</summary>
    public DateTimeOffset Until { get; private init; }

    /// <summary>What is known; <c>null</c>: nothing was judged yet.</summary>
    public AlmanacSlice? Slice { get; }

    /// <summary>The limits of the rule that gives the level, as they hold at the end of what is measured.</summary>
    public RuleLimits LevelLimits => Site.LimitsOf(Site.LevelRule, LocalDay.Of(Now, Site.Zone));

    /// <summary>The look ahead; <c>null</c>: no forecast can be used.</summary>
    public WeatherAhead? Ahead { get; private init; }

    /// <summary>The plantings' levels in its hours, in the site's order.</summary>
    public IReadOnlyList<IReadOnlyList<Level>> LevelsAhead { get; private init; } = [];

    /// <summary>Humidity from which leaves count as wet, %; <c>null</c>: humidity alone does not decide.</summary>
    public double? WetHumidityPct { get; private init; }

    /// <summary>The times are on one axis.</summary>
    public TimeAxis Axis => new(From, Until);

    /// <summary>The hours that are drawn of the look ahead.</summary>
    public IEnumerable<ForecastHour> HoursAhead => Ahead?.Hours.Where(hour => hour.Start < Until) ?? [];

    /// <summary>Where a drawing of so many days begins, UTC.</summary>
    public static DateTimeOffset StartFor(Site site, int days, DateTimeOffset now) =>
        LocalDay.StartOf(LocalDay.Of(now, site.Zone).AddDays(1 - days), site.Zone);

    /// <summary>Gathers the facts; on the thread of the watch.</summary>
    /// <param name="watch">The watch.</param>
    /// <param name="slice">What the almanac knows from <see cref="StartFor"/> on.</param>
    /// <param name="forecast">The forecast; <c>null</c>: none can be used.</param>
    /// <param name="days">How many local days back, today among them.</param>
    /// <param name="now">Now, UTC.</param>
    /// <param name="hasLeafSensor">A sensor tells whether leaves are wet.</param>
    public static WeatherFacts Of(
        SiteWatch watch, AlmanacSlice? slice, Forecast? forecast, int days, DateTimeOffset now, bool hasLeafSensor)
    {
        var until = now.AddDays(DaysAhead);
        var ahead = forecast is null ? null : watch.LookAhead(forecast.Hours.Where(hour => hour.Start < until));
        if (ahead is { Hours.Count: 0 })
            ahead = null;
        var judged = slice?.To ?? now;
        return new WeatherFacts(watch.Site, days, judged, slice)
        {
            Until = ahead is null ? judged : ahead.Hours[^1].Start.AddHours(1),
            Ahead = ahead,
            LevelsAhead = ahead is null ? [] : [.. watch.Plantings.Select(planting => watch.LevelsAhead(planting, ahead))],
            WetHumidityPct = watch.Site.Spell.Estimator == WetnessEstimator.HumidityThreshold && !hasLeafSensor
                ? watch.Site.Spell.WetHumidityPct
                : null,
        };
    }

    /// <summary>The spans of which something is not known, whatever it is: what lies against each other is one.</summary>
    public IReadOnlyList<(DateTimeOffset From, DateTimeOffset To)> GapSpans()
    {
        List<(DateTimeOffset From, DateTimeOffset To)> spans = [];
        foreach (var gap in Gaps())
        {
            if (spans is [.., var last] && last.To == gap.From)
                spans[^1] = (last.From, gap.To);
            else
                spans.Add((gap.From, gap.To));
        }

        return spans;
    }

    /// <summary>The stretches of which something is not known, the time before the first interval among them.</summary>
    public IEnumerable<Stretch<Missing>> Gaps()
    {
        if (Slice is null)
            return From < Now ? [new(From, Now, Missing.Temperature | Missing.Wetness)] : [];
        var before = Slice.From > From ? new[] { new Stretch<Missing>(From, Slice.From, Missing.Temperature | Missing.Wetness) } : [];
        return before.Concat(Slice.Missing);
    }
}
