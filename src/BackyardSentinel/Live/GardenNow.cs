using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Planning;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>The garden as it is judged at this moment. Belongs to the loop's thread: nothing of it may be kept.</summary>
/// <param name="Watches">The watches by site id.</param>
/// <param name="Journal">The journal's sound entries.</param>
/// <param name="Forecast">The last forecast, whatever its age; <c>null</c>: none came yet.</param>
/// <param name="Troubles">What is wrong with sensors and the clock.</param>
/// <param name="At">Now, UTC.</param>
/// <param name="Almanacs">What the season was; <c>null</c>: nobody keeps it.</param>
/// <param name="IsListening">The service has begun and waits for what the broker kept: nothing is judged yet.</param>
/// <param name="Batteries">What series told last of their batteries, as sent, by the series' name.</param>
public sealed record GardenNow(
    IReadOnlyDictionary<string, SiteWatch> Watches,
    IReadOnlyList<JournalEntry> Journal,
    Forecast? Forecast,
    IReadOnlyList<Occasion> Troubles,
    DateTimeOffset At,
    AlmanacKeeper? Almanacs,
    bool IsListening,
    IReadOnlyDictionary<string, double> Batteries)
{
    private readonly Dictionary<string, (PlanRequest Request, SprayPlan Plan)> _plans = [];

    /// <summary>The spray plan of a site with what it was made from, reckoned once for all that ask at this moment.</summary>
    /// <param name="site">The site's id.</param>
    public (PlanRequest Request, SprayPlan Plan) PlanOf(string site)
    {
        if (_plans.TryGetValue(site, out var known))
            return known;
        var request = SitePlan.Request(Watches[site], Journal, FreshForecast, At);
        return _plans[site] = (request, SprayPlanner.Plan(request));
    }

    /// <summary>The forecast, unless it is too old to be used.</summary>
    public Forecast? FreshForecast => Forecast is { } forecast && !forecast.IsStale(At) ? forecast : null;
}
