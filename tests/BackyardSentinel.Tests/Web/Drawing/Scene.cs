using BackyardSentinel.Delivery;
using BackyardSentinel.Demo;
using BackyardSentinel.Reporting;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Tests.Web.Drawing;

/// <summary>The demo's invented garden at a moment, with what comes after it as its forecast.</summary>
internal sealed class Scene
{
    private readonly AlmanacKeeper _keeper;

    public Scene(DateTimeOffset now, string? name = null, UnitSystem? units = null, bool withForecast = true)
    {
        Now = now;
        var site = DemoGarden.Create(1, "unused").Sites[0];
        Site = site with
        {
            Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana"),
            Units = units ?? UnitSystem.Metric,
            Climate = DailyClimate.FromMonths([-4, -3, 0, 4, 8, 12, 14, 13, 10, 6, 1, -3], [3, 6, 11, 16, 20, 24, 26, 26, 21, 15, 8, 4]),
            Plantings = [site.Plantings[0] with { Name = name }, new Planting("gate") { Follows = StageNeeds.Default }],
        };
        _keeper = new AlmanacKeeper([Site]);
        var feed = new SeasonFeed([Site], _keeper.Note, DemoGarden.Journal, onInterval: _keeper.Note);
        Watch = feed.Watches[Site.Id];
        for (var at = DemoWeather.Begin; at <= now; at += DemoWeather.Step)
        {
            if (DemoWeather.At(at) is not { } sample)
                continue;
            feed.Judge(Watch, new Reading(Quantity.Temperature, at, sample.TemperatureC), at);
            feed.Judge(Watch, new Reading(Quantity.Humidity, at, sample.HumidityPct), at);
            feed.Judge(Watch, new Reading(Quantity.LeafWetness, at, sample.LeafWetnessPct), at);
            feed.Judge(Watch, new Reading(Quantity.Rain, at, sample.RainMm), at);
        }

        feed.AdvanceTo(now);
        Forecast = withForecast ? new Forecast("invented", now.AddHours(-1), [.. Hours(now)]) : null;
        Words = AlertWords.English(Site.Units).Page(Site.Zone);
    }

    public DateTimeOffset Now { get; }

    public Site Site { get; }

    public SiteWatch Watch { get; }

    public Forecast? Forecast { get; }

    public PageWords Words { get; }

    public WeatherFacts Weather(int days) => WeatherFacts.Of(
        Watch, Slice(WeatherFacts.StartFor(Site, days, Now)), Forecast, days, Now, hasLeafSensor: false);

    public YearFacts Year(int planting = 0) => new(
        Watch, Watch.Plantings[planting], Slice(DateTimeOffset.MinValue), DemoGarden.Journal, Forecast, Now);

    public AlmanacSlice? Slice(DateTimeOffset from) => _keeper.Slice(Watch, from, DateTimeOffset.MaxValue);

    public IHtmlContent Days()
    {
        var today = LocalDay.Of(Now, Site.Zone);
        var ahead = Forecast is null ? null : Watch.LookAhead(Forecast.Hours);
        return DayByDay.Draw(
            [.. Watch.Plantings.Select((planting, i) => (planting.Planting.Called, DayLevel.Of(
                Slice(DateTimeOffset.MinValue)!.Plantings[i],
                Site.LevelRule,
                ahead,
                ahead is null ? [] : Watch.LevelsAhead(planting, ahead),
                Site.Zone,
                today.AddDays(-DayByDay.Back),
                DayByDay.Back + 1 + (Forecast is null ? 0 : DayByDay.Ahead))))],
            today,
            Words);
    }

    /// <summary>The demo's journal, and a look and a spray of seasons before.</summary>
    private static IEnumerable<JournalEntry> Older => DemoGarden.Journal
        .Append(new SprayEntry(0, "low-terrace", "old-peach", new DateOnly(2025, 11, 20), "copper", 4))
        .Append(new ScoutEntry(0, "low-terrace", "old-peach", new DateOnly(2026, 4, 6), 20, 5));

    /// <summary>Every drawing of the scene.</summary>
    public IEnumerable<string> All() =>
        [
            .. new[] { 3, 7, 30 }.Select(days => Text(WeatherStrip.Draw(Weather(days), Words))),
            Text(YearStrip.Draw(Year(), Words)),
            Text(YearStrip.Draw(Year(1), Words)),
            Text(SeasonsStrip.Draw(Year(), SeasonRow.Of(Year(), Slice(DateTimeOffset.MinValue), Older), Words)),
            Text(Days()),
        ];

    public static string Text(IHtmlContent content)
    {
        using var text = new StringWriter();
        content.WriteTo(text, System.Text.Encodings.Web.HtmlEncoder.Default);
        return text.ToString();
    }

    private static IEnumerable<ForecastHour> Hours(DateTimeOffset now)
    {
        var first = new DateTimeOffset(now.UtcTicks - (now.UtcTicks % TimeSpan.TicksPerHour), TimeSpan.Zero);
        for (var hour = first; hour < now.AddDays(5); hour = hour.AddHours(1))
        {
            var samples = Enumerable.Range(0, 6).Select(i => DemoWeather.At(hour.AddMinutes(10 * i))).OfType<DemoSample>().ToList();
            if (samples.Count > 0)
                yield return new ForecastHour(
                    hour,
                    samples.Average(one => one.TemperatureC),
                    samples.Average(one => one.HumidityPct),
                    samples.Sum(one => one.RainMm));
        }
    }
}
