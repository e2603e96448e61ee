using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel;

/// <summary>
/// The spray plan of one site, from the watch over it, the journal and a forecast: the one way for the <c>plan</c> command, the
/// service and replay.
/// </summary>
public static class SitePlan
{
    /// <summary>Makes the plan.</summary>
    /// <param name="watch">The watch over the site, fed until <paramref name="asOf"/>.</param>
    /// <param name="journal">The sound entries of the journal; those after <paramref name="asOf"/> do not count.</param>
    /// <param name="forecast">The forecast; <c>null</c>: there is none.</param>
    /// <param name="asOf">Now.</param>
    public static SprayPlan Of(SiteWatch watch, IReadOnlyList<JournalEntry> journal, Forecast? forecast, DateTimeOffset asOf) =>
        SprayPlanner.Plan(Request(watch, journal, forecast, asOf));

    /// <summary>Puts together what a plan is computed from; parameters as in <see cref="Of"/>.</summary>
    /// <param name="watch">The watch over the site.</param>
    /// <param name="journal">The sound entries of the journal.</param>
    /// <param name="forecast">The forecast.</param>
    /// <param name="asOf">Now.</param>
    public static PlanRequest Request(
        SiteWatch watch,
        IReadOnlyList<JournalEntry> journal,
        Forecast? forecast,
        DateTimeOffset asOf)
    {
        var site = watch.Site;
        var today = LocalDay.Of(asOf, site.Zone);
        // Without a latitude seasons are counted as in the north; the plan says so.
        var calendar = new SeasonCalendar(site.LatitudeDeg ?? 0);
        List<Sentence> notes = [];
        if (site.LatitudeDeg is null)
            notes.Add(
                $"The site has no latitude, so its seasons are counted from 1 September, as in the north; "
                    + $"give the garden file latitude and longitude.");
        if (site.LongitudeDeg is { } east && Daylight.Contradicts(east, site.Zone))
            notes.Add(Daylight.Contradiction(east, site.Zone));

        JournalEntry[] entries = [.. journal.Where(entry => entry.Site == site.Id && entry.On <= today)];
        var swell = new SwellOutlook(site, watch.PastDays, watch.LastInterval is not null, forecast, asOf);
        var rain = watch.Recent.Where(one => one.RainMm is not null).Select(one => new RainAmount(one.Start, one.RainMm!.Value)).ToList();
        var air = watch
            .Recent.Where(one => one.TemperatureC is not null)
            .Select(one => new AirObserved(one.Start, one.TemperatureC!.Value, one.HumidityPct))
            .ToList();
        return new PlanRequest
        {
            AsOf = asOf,
            Zone = site.Zone,
            Units = site.Units,
            Products = site.Products,
            Plantings =
            [
                .. watch.Plantings.Select(planting =>
                    new PlantingFacts(planting, site.Products, entries, calendar, today).Of(swell, notes)),
            ],
            Ledger = Ledger(site, entries),
            Forecast = forecast,
            ObservedRain = rain.Count > 0 ? rain : null,
            ObservedAir = air.Count > 0 ? air : null,
            RainLast60DaysMm = site.HasRainGauge ? WinterRain.LastDaysMm(watch.PastDays, today) : null,
            PressureHpa = Psychrometrics.StationPressureHpa(site.AltitudeM),
            SunElevationDeg = site is { LatitudeDeg: { } latitude, LongitudeDeg: { } longitude }
                ? Daylight.Over(latitude, longitude, site.Zone)
                : null,
            Notes = notes,
        };
    }

    /// <summary>The sprays of one site with their copper.</summary>
    /// <param name="site">The site; without a latitude seasons are counted as in the north.</param>
    /// <param name="journal">Entries of the journal, those of other sites and kinds among them.</param>
    public static SprayLedger Ledger(Site site, IEnumerable<JournalEntry> journal)
    {
        var calendar = new SeasonCalendar(site.LatitudeDeg ?? 0);
        return new SprayLedger(
            journal.OfType<SprayEntry>().Where(entry => entry.Site == site.Id),
            site.Products,
            site.Plantings.Where(planting => planting.CanopyAreaM2 is not null)
                .ToDictionary(planting => planting.Id, planting => planting.CanopyAreaM2!.Value),
            day => calendar.SeasonOf(day)!.Value.Year,
            site.SoilDensityTPerM3,
            site.Units,
            site.Has);
    }
}
