using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// A variety's heat need for one stage, from the days on which the grower saw it: the mean of the warmth summed from the
/// day chilling was met to the middle of the day of sight. The mean was preferred to a search for the smallest error in days
/// because with a few years the search has many equal answers.
/// One season whose sum does not belong to the others (<see cref="GrubbsTest"/>), and that is a week off or more, is set aside
/// and named, as one wrong note would bend the mean; so is each season that cannot serve.
/// </summary>
/// <param name="HeatNeed">The heat need, degree hours.</param>
/// <param name="Years">Number of seasons it rests on; 2 or more.</param>
/// <param name="RmseDays">Root mean square of the error over these seasons, days.</param>
/// <param name="LeaveOneOutRmseDays">The same with each season predicted from the others: what to expect of a new season, days.</param>
public sealed record HeatNeedFit(double HeatNeed, int Years, double RmseDays, double LeaveOneOutRmseDays)
{
    /// <summary>A season this near the others' day is kept whatever their scatter, days. Assumed: the needs we start from were
    /// published with an error of four.</summary>
    public const int LeastDaysOff = 7;

    /// <summary>The same with the present need, which was not fitted to them; <c>null</c>: it is not met where the hours end.</summary>
    public double? PresentRmseDays { get; init; }

    /// <summary>A new season would be nearer by it than by the present need.</summary>
    public bool IsBetter => !(LeaveOneOutRmseDays >= PresentRmseDays);

    /// <summary>The seasons it does not rest on, each with its reason.</summary>
    public IReadOnlyList<SeasonSetAside> SetAside { get; init; } = [];

    /// <summary>Fits a heat need to two seasons or more, or says in a sentence why not.</summary>
    /// <param name="chill">How chill is counted.</param>
    /// <param name="chillNeed">The variety's chill need; above 0.</param>
    /// <param name="heat">How warmth is counted.</param>
    /// <param name="present">The need that holds now, degree hours.</param>
    /// <param name="calendar">The calendar of the place, its latitude known.</param>
    /// <param name="zone">The site's time zone.</param>
    /// <param name="years">The seasons.</param>
    /// <param name="fit">The fit.</param>
    /// <param name="reason">Why there is none.</param>
    public static bool TryFit(
        ChillModel chill,
        double chillNeed,
        HeatFunction heat,
        double present,
        SeasonCalendar calendar,
        TimeZoneInfo zone,
        IReadOnlyList<FitSeason> years,
        [NotNullWhen(true)] out HeatNeedFit? fit,
        [NotNullWhen(false)] out string? reason)
    {
        fit = null;
        // The stage's own need does not matter here: only the sums of warmth are read.
        if (!StageNeeds.TryCreate(chill, chillNeed, heat, [new StageNeed(BudStage.LeafBudSwell, null, 1)], 0, out var needs, out reason))
            return false;
        if (!calendar.IsKnown)
        {
            reason = "Without a latitude there is no season to count chill in; give the garden its latitude and longitude.";
            return false;
        }

        if (years.Count < 2)
        {
            reason = string.Create(
                CultureInfo.InvariantCulture,
                $"This stage is in the journal for {years.Count} {(years.Count == 1 ? "season" : "seasons")}; a fit takes 2 or more.");
            return false;
        }

        var all = years.Select(year => new SeasonHeat(year, needs, calendar.SeasonOf(year.SeenOn)!.Value, zone)).ToList();
        var sums = all.FindAll(season => season.Refusal is null);
        if (sums.Count < 2)
        {
            reason = all.Find(season => season.Refusal is not null)!.Refusal!;
            return false;
        }

        var aside = all.Except(sums).Select(season => new SeasonSetAside(season.Year.SeenOn, season.Refusal!)).ToList();
        if (GrubbsTest.Outlying([.. sums.Select(season => season.HeatWhenSeen)]) is { } place)
        {
            var odd = sums[place];
            var others = sums.Where(other => other != odd).Average(other => other.HeatWhenSeen);
            if (odd.ErrorDays(others) is { } off && Math.Abs(off) >= LeastDaysOff)
            {
                sums.RemoveAt(place);
                aside.Add(DoesNotAgree(odd.Year.SeenOn, -off));
            }
        }

        return TryRate(sums, aside, present, out fit, out reason);
    }

    /// <summary>The mean need, and how many days it is off.</summary>
    private static bool TryRate(
        List<SeasonHeat> sums,
        List<SeasonSetAside> aside,
        double present,
        [NotNullWhen(true)] out HeatNeedFit? fit,
        [NotNullWhen(false)] out string? reason)
    {
        (fit, reason) = (null, null);
        var need = sums.Average(season => season.HeatWhenSeen);
        double total = 0, totalLeftOut = 0;
        foreach (var season in sums)
        {
            var others = sums.Where(other => other != season).Average(other => other.HeatWhenSeen);
            if (season.ErrorDays(need) is not { } error || season.ErrorDays(others) is not { } errorLeftOut)
            {
                reason = string.Create(
                    CultureInfo.InvariantCulture,
                    $"The hours of the season of {season.Year.SeenOn:yyyy-MM-dd} end before its computed day; "
                        + $"hand in some more weeks of them.");
                return false;
            }

            (total, totalLeftOut) = (total + (error * error), totalLeftOut + (errorLeftOut * errorLeftOut));
        }

        var byPresent = sums.ConvertAll(season => season.ErrorDays(present));
        fit = new HeatNeedFit(need, sums.Count, Math.Sqrt(total / sums.Count), Math.Sqrt(totalLeftOut / sums.Count))
        {
            SetAside = aside,
            PresentRmseDays = byPresent.Contains(null) ? null : Math.Sqrt(byPresent.Average(days => days!.Value * days!.Value)),
        };
        return true;
    }

    private static SeasonSetAside DoesNotAgree(DateOnly seen, int daysAfter) => new(
        seen,
        string.Create(
            CultureInfo.InvariantCulture,
            $"Seen on {seen:yyyy-MM-dd}, {Math.Abs(daysAfter)} days "
                + $"{(daysAfter < 0 ? "before" : "after")} the day that the other seasons give "
                + $"({seen.AddDays(-daysAfter):yyyy-MM-dd}): it does not agree with them. "
                + $"Look whether the day, the stage and the tree were noted right, and where the thermometer hung."),
        daysAfter);

    /// <summary>The warmth of one season, day by day.</summary>
    private sealed class SeasonHeat
    {
        /// <summary>Fewer hours lacking than this never spoil a sum: three winter days bring about three chill portions. Assumed.</summary>
        private const int HarmlessHours = 72;

        /// <summary>A sum is trusted while at most this share of its hours is lacking. Assumed.</summary>
        private const double LargestLackingShare = 0.1;

        private readonly SortedDictionary<DateOnly, double> _heatAtEndOf = [];

        public SeasonHeat(FitSeason year, StageNeeds needs, Season season, TimeZoneInfo zone)
        {
            Year = year;
            var sums = new StageSums(needs);
            var (known, total) = (0, (LocalDay.StartOf(year.SeenOn, zone) - LocalDay.StartOf(season.ChillFrom, zone)).TotalHours);
            foreach (var hour in year.Hours)
            {
                var day = LocalDay.Of(hour.Start, zone);
                if (!season.Contains(day))
                    continue;
                // Heat alone never counts here: a need is fitted to chill that was met.
                sums.Add(day, hour.End, hour.TempC, day >= season.ChillFrom, null);
                if (sums.Expected.ChillMetOn is not null)
                    _heatAtEndOf[day] = sums.Expected.LeafBuds.HeatSum;
                if (day >= season.ChillFrom && day < year.SeenOn && hour.Source != HourSource.Flagged)
                    known++;
            }

            Refusal =
                total - known > Math.Max(HarmlessHours, LargestLackingShare * total)
                    ? string.Create(
                        CultureInfo.InvariantCulture,
                        $"Of the hours from {season.ChillFrom:yyyy-MM-dd} to {year.SeenOn:yyyy-MM-dd} too few are known.")
                : !_heatAtEndOf.TryGetValue(year.SeenOn, out var seen)
                    ? string.Create(
                        CultureInfo.InvariantCulture,
                        $"The chill need was not met, or the hours end, before the stage was seen on {year.SeenOn:yyyy-MM-dd}; "
                            + $"a lower chill need may fit the variety.")
                : seen <= 0
                    ? string.Create(
                        CultureInfo.InvariantCulture,
                        $"There was no warmth between chilling and the stage seen on {year.SeenOn:yyyy-MM-dd}; "
                            + $"a lower chill need may fit the variety.")
                : null;
            // It was seen at some time of the day: the middle is right on average.
            HeatWhenSeen = Refusal is null
                ? (_heatAtEndOf.GetValueOrDefault(year.SeenOn.AddDays(-1)) + _heatAtEndOf[year.SeenOn]) / 2
                : 0;
        }

        public FitSeason Year { get; }

        public double HeatWhenSeen { get; }

        public string? Refusal { get; }

        /// <summary>Days from the day seen to the day the need is met, negative when it is met before; null when it never is.</summary>
        public int? ErrorDays(double need)
        {
            foreach (var (day, heat) in _heatAtEndOf)
            {
                if (heat >= need)
                    return day.DayNumber - Year.SeenOn.DayNumber;
            }

            return null;
        }
    }
}
