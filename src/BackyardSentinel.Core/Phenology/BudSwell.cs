using BackyardSentinel.Garden;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Phenology;

/// <summary>When the leaf buds will swell (BBCH 01): after that a dormant spray comes too late.</summary>
/// <param name="Expected">Local day expected; <c>null</c>: nothing can be said.</param>
/// <param name="Early">Local day for an early tree.</param>
/// <param name="Late">Local day for a late tree.</param>
/// <param name="Basis">What the days rest on, or why there are none; a sentence.</param>
public sealed record BudSwell(DateOnly? Expected, DateOnly? Early, DateOnly? Late, Sentence Basis)
{
    /// <summary>How far ahead is looked at most, days.</summary>
    private const int LongestLookDays = 400;

    /// <summary>A range that rests on more usual days than this can be left by the weather that comes. Assumed.</summary>
    private const int MostUsualDays = 14;

    /// <summary>It rests on weeks of usual days: the weather that comes can bring the day out of the range of the needs.</summary>
    public bool IsFarAhead { get; private init; }

    /// <summary>
    /// Looks ahead from where a model stands: the sums so far, then the hours of a forecast, then the usual days of the
    /// year. What was logged for days still to come is not used.
    /// </summary>
    /// <param name="model">The model, fed until now.</param>
    /// <param name="forecast">Hours of a forecast in order; those already known are passed over.</param>
    /// <param name="usual">The usual hours of the year; <c>null</c>: nothing is known of them.</param>
    public static BudSwell Expect(StageModel model, IReadOnlyList<HourTemperature> forecast, UsualHours? usual)
    {
        if (model.Doubt is { } doubt)
            return new BudSwell(null, null, null, doubt);
        if (model.SummedUntil is not { } from || (model.LastEnd is null && usual is null))
            return new BudSwell(null, null, null, $"No temperature has been measured yet, so nothing can be said of bud swell.");

        var dates = model.DatesOf(BudStage.LeafBudSwell);
        if (dates.Expected is not null)
            return new BudSwell(dates.Expected, dates.Early, dates.Late, Reached(model));

        var look = new Look(model);
        var usedForecast = false;
        foreach (var hour in forecast)
        {
            if (hour.Start < from)
                continue;
            AddUsual(hour.Start);
            look.Add(hour);
            (usedForecast, from) = (true, hour.End);
        }

        AddUsual(from.AddDays(LongestLookDays));
        return look.Result(usedForecast, usual?.Climate);

        void AddUsual(DateTimeOffset until)
        {
            for (; usual is not null && from < until && !look.Done; from = from.AddHours(1))
                look.AddUsual(new HourTemperature(from, usual.At(from), HourSource.Curve));
        }
    }

    private static Sentence Reached(StageModel model) => model.Source == StageSource.Logged
        ? (Sentence)$"The leaf buds were seen to swell."
        : $"By the sums of chill and warmth the leaf buds have begun to swell; look at the tree.";

    /// <summary>The sums of a model, sent ahead.</summary>
    private sealed class Look(StageModel model)
    {
        private readonly StageSums _sums = model.CopySums();
        private readonly DayAhead _day = new(model.Zone, model.Season, model.Calendar);
        private int _usualHours;

        /// <summary>The late track is there, or the season ended without it.</summary>
        public bool Done => _day.IsOutOfSeason || Day(_sums.Latest) is not null;

        public void AddUsual(in HourTemperature hour)
        {
            Add(hour);
            _usualHours += Day(_sums.Expected) is null ? 1 : 0;
        }

        public void Add(in HourTemperature hour)
        {
            _day.GoTo(hour.Start);
            if (!_day.IsOutOfSeason)
                _sums.Add(_day.Day, hour.End, hour.TempC, _day.ChillCounts, _day.LengtheningHours);
        }

        public BudSwell Result(bool usedForecast, DailyClimate? climate)
        {
            var (early, expected, late) = (Day(_sums.Earliest), Day(_sums.Expected), Day(_sums.Latest));
            Sentence from = (usedForecast, climate) switch
            {
                (true, { } usual) => $"the sums so far, the forecast and, after it, {usual.Basis}",
                (false, { } usual) => $"the sums so far and {usual.Basis}",
                (true, null) => $"the sums so far and the forecast",
                _ => $"the sums so far",
            };
            if (expected is null)
            {
                return new BudSwell(
                    null,
                    early,
                    late,
                    climate is null
                        ? (Sentence)($"From {from} alone no day can be told yet: give the site a table of monthly temperatures, "
                            + $"or wait until a year has been measured.")
                        : $"From {from} the buds would not swell this season: the chill need or the temperatures are not right for the "
                            + $"place.");
            }

            var chilled = model.ChillMetOn is { } on
                ? (Sentence)$"chilling was met on {LocalTime.Of(on, TimeForm.Written)}"
                : $"chilling is still to be met";
            return new BudSwell(
                expected,
                early,
                late,
                model.Needs.IsDefault
                    ? (Sentence)$"From {from}; {chilled}. The needs are the published default and may not fit the variety."
                    : $"From {from}; {chilled}.")
            {
                IsFarAhead = _usualHours > MostUsualDays * 24,
            };
        }

        private static DateOnly? Day(StageTrack track) => track.LeafBuds.Reached(BudStage.LeafBudSwell)?.On;
    }
}
