using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// When the leaf buds of a site's plantings are expected to swell: from the sums of a model that is followed, and where
/// nothing was measured at all from the usual temperatures, as a guess that is called one.
/// </summary>
public sealed class SwellOutlook
{
    /// <summary>A day's extremes are taken from days with at least this share measured. Assumed.</summary>
    private const double WholeDay = 0.9;

    private readonly Site _site;
    private readonly bool _isMeasured;
    private readonly DateTimeOffset _asOf;
    private readonly IReadOnlyList<HourTemperature> _ahead;
    private readonly UsualHours? _usual;

    /// <summary>Looks ahead from a moment.</summary>
    /// <param name="site">The site; its usual year stands in until the garden's own past makes up one.</param>
    /// <param name="pastDays">The days measured so far.</param>
    /// <param name="isMeasured">Anything at all was measured.</param>
    /// <param name="forecast">The forecast, used where it is neither stale nor ahead of now; <c>null</c>: there is none.</param>
    /// <param name="asOf">Now.</param>
    public SwellOutlook(Site site, IEnumerable<DayWeather> pastDays, bool isMeasured, Forecast? forecast, DateTimeOffset asOf)
    {
        (_site, _isMeasured, _asOf) = (site, isMeasured, asOf.ToUniversalTime());
        // The sums of a look ahead do not ask where an hour's temperature comes from.
        _ahead =
        [
            .. (forecast is null || forecast.IsStale(asOf) || forecast.IsAhead(asOf) ? [] : forecast.Hours)
                .Where(hour => hour.TemperatureC is not null)
                .Select(hour => new HourTemperature(hour.Start, hour.TemperatureC!.Value, HourSource.Curve)),
        ];
        var past = pastDays
            .Where(day => day.Coverage >= WholeDay && day is { MinC: not null, MaxC: not null })
            .Select(day => (day.Day, new DailyExtremes(day.MinC!.Value, day.MaxC!.Value)));
        _usual = (DailyClimate.TryFromPast(past, out var own, out _) ? own : site.Climate) is { } climate
            ? new UsualHours(climate, site.Zone, site.LatitudeDeg, site.LongitudeDeg)
            : null;
    }

    /// <summary>The swell of one planting; its basis says what it rests on, or why nothing can be said.</summary>
    /// <param name="model">The planting's model, fed until now.</param>
    /// <param name="seen">The stages that the grower noted until now.</param>
    public BudSwell Expect(StageModel model, IEnumerable<StageEntry> seen)
    {
        var swell = Ahead(model);
        if (swell.Expected is not null || _isMeasured || Guess(model.Needs, seen) is not { Expected: not null } guess)
            return swell.IsFarAhead
                ? swell with
                {
                    Basis = $"{swell.Basis} The range is that of the tree's needs: weather that is not usual can bring the day a week or "
                        + $"two before or after it.",
                }
                : swell;
        return IsSeen(guess)
            ? guess
            : guess with
            {
                Basis =
                    $"A guess from usual temperatures, since too few were measured this winter; "
                        + $"the day may lie well outside the range. {guess.Basis}",
            };
    }

    /// <summary>All stages ahead of one planting; <c>null</c>: its model knows no time yet.</summary>
    /// <param name="model">The planting's model, fed until now.</param>
    public StagesAhead? StagesOf(StageModel model) =>
        model is { Doubt: null, SummedUntil: not null } ? new StagesAhead(model, _ahead, _usual) : null;

    private BudSwell Ahead(StageModel model) => BudSwell.Expect(model, _ahead, _usual);

    /// <summary>A stage that was logged sets all three tracks to one day; computed ones part.</summary>
    private bool IsSeen(BudSwell swell) => swell.Early == swell.Late && swell.Expected <= LocalDay.Of(_asOf, _site.Zone);

    /// <summary>
    /// A model fed the usual days of the year up to now, as if they had been measured: what the grower can plan by before there is a
    /// sensor.
    /// </summary>
    private BudSwell? Guess(StageNeeds needs, IEnumerable<StageEntry> seen)
    {
        var calendar = new SeasonCalendar(_site.LatitudeDeg);
        if (_usual is null || calendar.SeasonOf(LocalDay.Of(_asOf, _site.Zone)) is not { } season)
            return null;
        var model = new StageModel(needs, calendar, _site.Zone, StageObserved.From(seen));
        var start = LocalDay.StartOf(season.Start, _site.Zone);
        for (
            var hour = ClockHour.Of(start).AddHours(1);
            hour.AddHours(1) <= _asOf;
            hour = hour.AddHours(1))
            model.Add(new HourTemperature(hour, _usual.At(hour), HourSource.Measured));
        model.AdvanceTo(_asOf);
        return Ahead(model);
    }
}
