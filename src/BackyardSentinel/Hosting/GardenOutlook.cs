using BackyardSentinel.Alerting;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Live;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Hosting;

/// <summary>What lies ahead and may deserve a message: windows that the forecast leads to, deadlines and slots for sprays.</summary>
public static class GardenOutlook
{
    /// <summary>Only what is expected within this time is told: forecasts of wet hours further ahead come and go. Assumed.</summary>
    public static TimeSpan Horizon => TimeSpan.FromHours(36);

    /// <summary>Looks ahead.</summary>
    public static IEnumerable<Occasion> Look(GardenFile garden, Outlook outlook)
    {
        foreach (var site in garden.Sites)
        {
            var watch = outlook.Watches[site.Id];
            foreach (
                var occasion in SprayOccasions.Of(
                    GardenPlan.For(garden, site, watch, outlook.Journal, outlook.Forecast, outlook.Now),
                    watch.Site))
                yield return occasion;
            foreach (var planting in watch.Plantings)
            {
                if (outlook.Forecast is { } forecast && Window(watch, planting, forecast, outlook.Now) is { } window)
                    yield return window;
            }
        }
    }

    private static WindowAhead? Window(SiteWatch watch, PlantingWatch planting, Weather.Forecast forecast, DateTimeOffset now)
    {
        var risk = planting.Risk;
        // Forecast never lowers what was observed, and tells nothing that is open already.
        if (
            watch.LookAhead(planting, forecast.Hours) is not { } ahead
            || ahead.HighestLevel < Level.Likely
            || ahead.HighestLevel <= risk.Level
            || ahead.OpensAt > now + Horizon)
            return null;
        return new WindowAhead(
            watch.Site.Id,
            planting.Planting.Id,
            now,
            ahead.HighestLevel,
            ahead.OpensAt,
            ahead.Spell.WetHours,
            ahead.Spell.RainMm,
            ahead.Spell.MeanTempC,
            forecast.Issued)
        {
            Cover = risk.Cover?.Word(),
        };
    }
}
