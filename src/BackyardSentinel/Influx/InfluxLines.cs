using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Influx;

/// <summary>
/// What the season gives as points. A point is known by measurement, tags and time: one that is written again takes its own
/// place, so that nothing is there twice. docs/influxdb.md tells each field with its unit.
/// </summary>
/// <param name="what">What is written.</param>
public sealed class InfluxLines(IReadOnlyCollection<ForwardedKind> what)
{
    /// <summary>Measurement of the readings.</summary>
    public const string Readings = "sentinel_reading";

    /// <summary>Measurement of the intervals.</summary>
    public const string Intervals = "sentinel_interval";

    /// <summary>Measurement of the levels.</summary>
    public const string Levels = "sentinel_level";

    /// <summary>Measurement of the infection windows.</summary>
    public const string Windows = "sentinel_window";

    private readonly HashSet<ForwardedKind> _what = [.. what];

    /// <summary>The lines of one piece of news.</summary>
    /// <param name="news">The news.</param>
    public IEnumerable<string> Of(SeasonNews news)
    {
        if (news is ReadingNews reading && _what.Contains(ForwardedKind.Readings))
            yield return Line(reading);
        if (news is WindowNews window && _what.Contains(ForwardedKind.Windows))
            yield return Line(window);
        if (news is not IntervalNews { Watch: { LastInterval: { } interval } watch })
            yield break;
        if (_what.Contains(ForwardedKind.Intervals))
            yield return Line(watch, interval);
        if (!_what.Contains(ForwardedKind.Levels))
            yield break;
        foreach (var risk in watch.Risks)
            yield return Line(watch, interval.End, risk);
    }

    private static string Line(ReadingNews news) => InfluxServer.Line(
        Readings,
        [("site", news.Sensed.Site), ("quantity", news.Sensed.Reading.Quantity.Word()), ("series", news.Sensed.Series)],
        [
            ("value", news.Sensed.Reading.Value),
            ("received_us", StoredTime.ToMicroseconds(news.Sensed.ReceivedAt)),
        ],
        news.Sensed.Reading.Time);

    private static string Line(SiteWatch watch, in WeatherInterval interval)
    {
        var wetness = watch.LastWetness ?? default;
        var dewPoint = interval is { TemperatureC: { } t, HumidityPct: { } humidity }
            ? Psychrometrics.DewPointC(t, humidity)
            : (double?)null;
        return InfluxServer.Line(
            Intervals,
            [("site", watch.Site.Id)],
            [
                ("temperature_c", interval.TemperatureC),
                ("humidity_pct", interval.HumidityPct),
                ("dew_point_c", dewPoint),
                ("wind_ms", interval.WindMs),
                ("rain_mm", interval.RainMm),
                ("leaf_wet_share", interval.LeafWetShare),
                ("wet_fraction", wetness.State == WetnessState.Unknown ? null : wetness.Fraction),
                ("wetness", wetness.State.Word()),
                ("minutes", interval.Length.TotalMinutes),
            ],
            interval.End);
    }

    private static string Line(SiteWatch watch, DateTimeOffset at, PlantingRisk risk) => InfluxServer.Line(
        Levels,
        [("site", watch.Site.Id), ("planting", risk.Planting)],
        [
            ("level", risk.Level.Word()),
            ("level_number", (long)risk.Level),
            .. risk.Opinions.Select(opinion => ($"level_number_{opinion.Key.Replace('-', '_')}", (object?)(long)opinion.Value)),
            ("rule", watch.Site.LevelRule),
            ("stage", (long?)risk.Stage),
            ("stage_sure", risk.StageSure),
            ("cover", risk.Cover?.Word()),
            ("sheltered", risk.Sheltered),
            ("uncertain", risk.Uncertain),
        ],
        at);

    private static string Line(WindowNews news)
    {
        var window = news.Window;
        return InfluxServer.Line(
            Windows,
            [("site", news.Site), ("planting", window.Planting), ("rule", window.Rule)],
            [
                ("level", (news.IsTakenBack ? Level.Clear : window.Level).Word()),
                ("level_number", (long)(news.IsTakenBack ? Level.Clear : window.Level)),
                ("taken_back", news.IsTakenBack),
                ("open_hours", window.ClosedAt is { } closed ? (closed - window.OpenedAt).TotalHours : null),
                ("wet_hours", window.WetHours),
                ("rain_mm", window.RainMm),
                ("mean_temp_c", window.MeanTempC),
                ("dose", window.Dose),
                ("stage", (long?)window.Stage),
                ("cover", window.Cover?.Word()),
                ("sheltered", window.Sheltered),
                ("uncertain", window.Uncertain),
            ],
            window.OpenedAt);
    }
}
