using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Hosting;

/// <summary>
/// The spray plan of one site, from the garden file, the watch over it, the journal and a forecast. The <c>plan</c> command and the
/// service use this one way.
/// </summary>
public static class GardenPlan
{
    /// <summary>Rain of 60 days from which the planner calls a winter wet, mm; days that are not known cannot make it less.</summary>
    private const double WetWinterMm = 150;

    private const int WetWinterDays = 60, FewestOfThem = 54;

    /// <summary>Makes the plan.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="site">One of its sites.</param>
    /// <param name="watch">The watch over that site, fed until <paramref name="asOf"/>.</param>
    /// <param name="journal">The sound entries of the journal; those after <paramref name="asOf"/> do not count.</param>
    /// <param name="forecast">The forecast; <c>null</c>: there is none.</param>
    /// <param name="asOf">Now.</param>
    /// <param name="pastYears">Extremes of past days that the watch does not know; <c>null</c>: none.</param>
    public static SprayPlan For(
        GardenFile garden,
        GardenSite site,
        SiteWatch watch,
        IReadOnlyList<JournalEntry> journal,
        Forecast? forecast,
        DateTimeOffset asOf,
        IReadOnlyList<(DateOnly Day, DailyExtremes Extremes)>? pastYears = null)
    {
        List<string> notes = [];
        return Plan(Request(garden, site, watch, journal, forecast, asOf, notes, pastYears), notes);
    }

    /// <summary>The plan of a request, with the notes that came about while it was put together.</summary>
    public static SprayPlan Plan(PlanRequest request, IReadOnlyList<string> notes)
    {
        var plan = SprayPlanner.Plan(request);
        return plan with { Notes = [.. plan.Notes, .. notes] };
    }

    /// <summary>Puts together what a plan is computed from; parameters as in <see cref="For"/>.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="site">One of its sites.</param>
    /// <param name="watch">The watch over that site.</param>
    /// <param name="journal">The sound entries of the journal.</param>
    /// <param name="forecast">The forecast.</param>
    /// <param name="asOf">Now.</param>
    /// <param name="notes">Gets a sentence for each thing that is not known.</param>
    /// <param name="pastYears">Extremes of past days that the watch does not know.</param>
    public static PlanRequest Request(
        GardenFile garden,
        GardenSite site,
        SiteWatch watch,
        IReadOnlyList<JournalEntry> journal,
        Forecast? forecast,
        DateTimeOffset asOf,
        ICollection<string> notes,
        IReadOnlyList<(DateOnly Day, DailyExtremes Extremes)>? pastYears = null)
    {
        var today = LocalDay.Of(asOf, site.Zone);
        // Without a latitude seasons are counted as in the north; the plan says so.
        var calendar = new SeasonCalendar(site.LatitudeDeg ?? 0);
        if (site.LatitudeDeg is null)
            notes.Add(
                "The site has no latitude, so its seasons are counted from 1 September, as in the north; give the garden file latitude and longitude.");

        if (site.LongitudeDeg is { } east && Daylight.Contradicts(east, site.Zone))
            notes.Add(Daylight.Contradiction(east, site.Zone));

        JournalEntry[] entries = [.. journal.Where(entry => entry.Site == site.Id && entry.On <= today)];
        var swell = new GardenPlanSwell(site, watch, forecast is { } given && !given.IsStale(asOf) ? given : null, asOf, pastYears ?? []);
        var ledger = new SprayLedger(
            entries.OfType<SprayEntry>(),
            watch.Site.Products,
            site.Plantings.Where(planting => planting.CanopyAreaM2 is not null)
                .ToDictionary(planting => planting.Id, planting => planting.CanopyAreaM2!.Value),
            day => calendar.SeasonOf(day)!.Value.Year,
            site.SoilDensityTPerM3,
            site.Units);
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
            Products = watch.Site.Products,
            Plantings =
            [
                .. site.Plantings.Zip(
                    watch.Plantings,
                    (planting, watched) =>
                        new GardenPlanTree(
                            planting,
                            watched,
                            watch.Site.Products,
                            [.. entries.Where(entry => entry.Planting == planting.Id)],
                            calendar,
                            today
                        ).Facts(swell, notes)),
            ],
            Ledger = ledger,
            Forecast = forecast,
            ObservedRain = rain.Count > 0 ? rain : null,
            ObservedAir = air.Count > 0 ? air : null,
            RainLast60DaysMm = RainLast60DaysMm(watch, today),
            PressureHpa = Psychrometrics.StationPressureHpa(site.AltitudeM ?? 0),
            SunElevationDeg = site is { LatitudeDeg: { } latitude, LongitudeDeg: { } longitude }
                ? Daylight.Over(latitude, longitude, site.Zone)
                : null,
        };
    }

    /// <summary>Rain of the last 60 days; <c>null</c> where too few days are known and those known do not already make it wet.</summary>
    private static double? RainLast60DaysMm(SiteWatch watch, DateOnly today)
    {
        if (!watch.Site.HasRainGauge)
            return null;
        // A day on which the thermometer spoke is taken for one on which the gauge would have. Assumed.
        var days = watch.PastDays.Where(day => day.Day < today && day.Day >= today.AddDays(-WetWinterDays) && day.Coverage >= 0.5).ToList();
        var rainMm = days.Sum(day => day.RainMm);
        return days.Count >= FewestOfThem || rainMm >= WetWinterMm ? rainMm : null;
    }
}
