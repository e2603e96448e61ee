using BackyardSentinel.Demo;
using BackyardSentinel.Garden;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Report;

namespace BackyardSentinel.Commands.Report;

/// <summary>The demo's invented season, fed as <c>run --demo</c> feeds it, without a broker and without a store.</summary>
public static class DemoSeason
{
    /// <summary>The whole season.</summary>
    /// <param name="site">The demo's site.</param>
    public static ReportFacts Facts(Site site)
    {
        var almanacs = new AlmanacKeeper([site]);
        var season = new SeasonFeed([site], almanacs.Note, DemoGarden.Journal, onInterval: almanacs.Note);
        var watch = season.Watches[site.Id];
        for (var at = DemoWeather.FirstReport; at < DemoWeather.End; at += DemoWeather.Step)
        {
            if (DemoWeather.At(at) is not { } sample)
                continue;
            season.Judge(watch, new Reading(Quantity.Temperature, at, sample.TemperatureC), at);
            season.Judge(watch, new Reading(Quantity.Humidity, at, sample.HumidityPct), at);
            season.Judge(watch, new Reading(Quantity.LeafWetness, at, sample.LeafWetnessPct), at);
            season.Judge(watch, new Reading(Quantity.Rain, at, sample.RainMm), at);
        }

        season.AdvanceTo(DemoWeather.End);
        return new ReportFacts(watch, almanacs, DemoGarden.Journal, null, DemoWeather.End);
    }
}
