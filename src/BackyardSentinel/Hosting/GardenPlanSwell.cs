using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Planning;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Hosting;

/// <summary>
/// When the leaf buds of a site's plantings are expected to swell: from the sums of the watch, and where these cannot be
/// trusted from the usual temperatures, as a guess that is called one.
/// </summary>
internal sealed class GardenPlanSwell
{
    /// <summary>A day's extremes are taken from days with at least this share measured. Assumed.</summary>
    private const double WholeDay = 0.9;

    private readonly GardenSite _site;
    private readonly DateTimeOffset _asOf;
    private readonly IReadOnlyList<HourTemperature> _ahead;
    private readonly Dictionary<DateOnly, DailyExtremes> _measured;
    private readonly DailyClimate? _climate;
    private readonly bool _nothingMeasured;

    public GardenPlanSwell(
        GardenSite site,
        SiteWatch watch,
        Forecast? forecast,
        DateTimeOffset asOf,
        IReadOnlyList<(DateOnly Day, DailyExtremes Extremes)> pastYears)
    {
        (_site, _asOf) = (site, asOf.ToUniversalTime());
        _nothingMeasured = watch.LastInterval is null;
        _measured = watch.PastDays
            .Where(day => day.Coverage >= WholeDay && day is { MinC: not null, MaxC: not null })
            .ToDictionary(day => day.Day, day => new DailyExtremes(day.MinC!.Value, day.MaxC!.Value));
        // The sums of a look ahead do not ask where an hour's temperature comes from.
        _ahead =
        [
            .. (forecast?.Hours ?? [])
                .Where(hour => hour.TemperatureC is not null)
                .Select(hour => new HourTemperature(hour.Start, hour.TemperatureC!.Value, HourSource.Curve)),
        ];
        var past = pastYears.Where(day => !_measured.ContainsKey(day.Day)).Concat(_measured.Select(day => (day.Key, day.Value)));
        if (!DailyClimate.TryFromPast(past, out _climate, out _) && site is { ClimateMinC: { } low, ClimateMaxC: { } high })
            _climate = DailyClimate.FromMonths(low, high);
    }

    /// <summary>The swell of a planting; <c>null</c> where nothing can be said, and then why is noted.</summary>
    public ExpectedSwell? Of(PlantingWatch planting, IEnumerable<StageEntry> seen, ICollection<string> notes)
    {
        if (planting.Stage.Model is { } followed && NeedsDoubt.Of(followed) is { } unfit)
            notes.Add($"{planting.Planting.Id}: {unfit}");
        if (Expect(planting, seen) is not { } swell)
            return null;
        if (swell is { Expected: { } expected, Early: { } early })
            return new ExpectedSwell(
                expected,
                early,
                swell.Late ?? expected,
                swell.Late is null ? $"{swell.Basis} The late end is not known." : swell.Basis);
        notes.Add($"{planting.Planting.Called}: {swell.Basis}");
        return null;
    }

    /// <summary>The same with what is not known left out; <c>null</c> where stages are not followed.</summary>
    public BudSwell? Expect(PlantingWatch planting, IEnumerable<StageEntry> seen)
    {
        if (planting.Stage.Model is not { } model)
            return null;
        var swell = BudSwell.Expect(model, _ahead, _climate, _site.LatitudeDeg, _site.LongitudeDeg);
        if (swell.Expected is null && _nothingMeasured && Guess(model.Needs, seen) is { Expected: not null } guess)
            swell = IsSeen(guess)
                ? guess
                : guess with
                {
                    Basis =
                        $"A guess from usual temperatures, since too few were measured this winter; the day may lie well outside the range. {guess.Basis}",
                };
        return swell;
    }

    /// <summary>A stage that was logged sets all three tracks to one day; computed ones part.</summary>
    private bool IsSeen(BudSwell swell) => swell.Early == swell.Late && swell.Expected <= LocalDay.Of(_asOf, _site.Zone);

    /// <summary>
    /// A model fed the usual days of the year up to now, as if they had been measured: what the grower can plan by before there is a
    /// sensor.
    /// </summary>
    private BudSwell? Guess(StageNeeds needs, IEnumerable<StageEntry> seen)
    {
        var calendar = new SeasonCalendar(_site.LatitudeDeg);
        if (_climate is null || calendar.SeasonOf(LocalDay.Of(_asOf, _site.Zone)) is not { } season)
            return null;
        List<StageObserved> observed = [];
        foreach (var entry in seen)
        {
            if (BudStage.TryFrom(entry.Code, out var stage))
                observed.Add(new StageObserved(entry.On, stage));
        }

        var model = new StageModel(needs, calendar, _site.Zone, observed);
        var usual = new UsualHours(_climate, _site.Zone, _site.LatitudeDeg, _site.LongitudeDeg);
        var start = LocalDay.StartOf(season.Start, _site.Zone);
        for (
            var hour = new DateTimeOffset(start.UtcTicks - (start.UtcTicks % TimeSpan.TicksPerHour), TimeSpan.Zero).AddHours(1);
            hour.AddHours(1) <= _asOf;
            hour = hour.AddHours(1))
            model.Add(new HourTemperature(hour, usual.At(hour), HourSource.Measured));
        model.AdvanceTo(_asOf);
        return BudSwell.Expect(model, _ahead, _climate, _site.LatitudeDeg, _site.LongitudeDeg);
    }
}
