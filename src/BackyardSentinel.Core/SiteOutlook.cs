using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel;

/// <summary>
/// What lies ahead of one site and may deserve a message: windows that the forecast leads to, deadlines and slots for sprays.
/// </summary>
public static class SiteOutlook
{
    /// <summary>Only what is expected within this time is told: forecasts of wet hours further ahead come and go. Assumed.</summary>
    public static TimeSpan Horizon => TimeSpan.FromHours(36);

    /// <summary>Looks ahead; parameters as in <see cref="SitePlan.Of"/>.</summary>
    /// <param name="watch">The watch over the site.</param>
    /// <param name="journal">The sound entries of the journal.</param>
    /// <param name="forecast">The forecast.</param>
    /// <param name="now">Now.</param>
    public static IEnumerable<Occasion> Look(
        SiteWatch watch,
        IReadOnlyList<JournalEntry> journal,
        Forecast? forecast,
        DateTimeOffset now)
    {
        foreach (var occasion in SprayOccasions.Of(SitePlan.Of(watch, journal, forecast, now), watch.Site))
            yield return occasion;
        if (forecast is null)
            yield break;
        foreach (var planting in watch.Plantings)
        {
            if (Window(watch, planting, forecast, now) is { } window)
                yield return window;
        }
    }

    private static WindowAhead? Window(SiteWatch watch, PlantingWatch planting, Forecast forecast, DateTimeOffset now)
    {
        var risk = planting.Risk;
        // Forecast never lowers what was observed, and tells nothing that is open already.
        if (
            watch.LookAhead(planting, forecast.Hours) is not { } ahead
            || ahead.Window.Level < Level.Likely
            || ahead.Window.Level <= risk.Level
            || ahead.OpensAt > now + Horizon)
            return null;
        return new WindowAhead(
            watch.Site.Id,
            planting.Planting.Id,
            now,
            ahead.Window.Level,
            ahead.OpensAt,
            ahead.Window.WetHours,
            ahead.Window.RainMm,
            ahead.Window.MeanTempC,
            forecast.Issued)
        {
            Rule = ahead.Window.Rule,
            VariantOf = watch.Site.VariantOf(ahead.Window.Rule),
            Cover = risk.Cover,
        };
    }
}
