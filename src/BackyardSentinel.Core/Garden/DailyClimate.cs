using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Garden;

/// <summary>The usual lowest and highest temperature of each day of the year, from the garden's own past or from a table.</summary>
public sealed class DailyClimate
{
    private const int DaysOfLeapYear = 366;

    /// <summary>So many different days of the year must be there to call it a year; the rest take the nearest day. Assumed.</summary>
    private const int FewestDays = 350;

    private readonly DailyExtremes[] _byDay;

    private DailyClimate(DailyExtremes[] byDay, Sentence basis) => (_byDay, Basis) = (byDay, basis);

    /// <summary>What it rests on, in words that fit after "from".</summary>
    public Sentence Basis { get; }

    /// <summary>The usual extremes of a day.</summary>
    public DailyExtremes Of(DateOnly day) => _byDay[IndexOf(day)];

    /// <summary>
    /// The mean of each day of the year over the garden's own past days; refused with a reason where they do not make up
    /// one year.
    /// </summary>
    public static bool TryFromPast(
        IEnumerable<(DateOnly Day, DailyExtremes Extremes)> days,
        [NotNullWhen(true)] out DailyClimate? climate,
        [NotNullWhen(false)] out string? reason)
    {
        var sums = new (double MinC, double MaxC, int Count)[DaysOfLeapYear];
        var total = 0;
        foreach (var (day, extremes) in days)
        {
            ref var sum = ref sums[IndexOf(day)];
            sum = (sum.MinC + extremes.MinC, sum.MaxC + extremes.MaxC, sum.Count + 1);
            total++;
        }

        var known = sums.Count(sum => sum.Count > 0);
        (climate, reason) = (null, null);
        if (known < FewestDays)
        {
            reason = string.Create(
                CultureInfo.InvariantCulture,
                $"The garden's own past covers {known} days of the year, and {FewestDays} are needed; "
                    + $"until then give the site a table of monthly temperatures.");
            return false;
        }

        var years = Math.Max(1, (int)Math.Round(total / 365.25));
        climate = new DailyClimate(
            [.. Enumerable.Range(0, DaysOfLeapYear).Select(index => Mean(sums[NearestKnown(sums, index)]))],
            years == 1
                ? (Sentence)$"the garden's one past year, which is little to go by"
                : $"the mean of the garden's past {years} years");
        return true;
    }

    /// <summary>A table of twelve monthly mean minima and maxima, on a straight line from mid-month to mid-month.</summary>
    /// <param name="minC">Mean daily minimum of January to December, °C.</param>
    /// <param name="maxC">Mean daily maximum of January to December, °C.</param>
    public static DailyClimate FromMonths(IReadOnlyList<double> minC, IReadOnlyList<double> maxC)
    {
        if (minC.Count != 12)
            throw new ArgumentException("A table of the year has twelve monthly minima.", nameof(minC));
        if (maxC.Count != 12)
            throw new ArgumentException("A table of the year has twelve monthly maxima.", nameof(maxC));
        var months = minC.Zip(maxC, (low, high) => new DailyExtremes(low, high)).ToArray();
        return new DailyClimate([.. Enumerable.Range(0, DaysOfLeapYear).Select(Between)], $"a table of monthly temperatures");

        DailyExtremes Between(int index)
        {
            var day = new DateOnly(2000, 1, 1).AddDays(index);
            var position = day.Month - 1 + ((day.Day - 0.5) / DateTime.DaysInMonth(2000, day.Month)) - 0.5;
            var (before, share) = ((int)Math.Floor(position), position - Math.Floor(position));
            var (from, to) = (months[(before + 12) % 12], months[(before + 1) % 12]);
            return new DailyExtremes(
                from.MinC + ((to.MinC - from.MinC) * share), from.MaxC + ((to.MaxC - from.MaxC) * share));
        }
    }

    private static DailyExtremes Mean((double MinC, double MaxC, int Count) sum) =>
        new(LimitRounding.Rounded(sum.MinC / sum.Count), LimitRounding.Rounded(sum.MaxC / sum.Count));

    private static int NearestKnown((double MinC, double MaxC, int Count)[] sums, int index)
    {
        for (var away = 0; ; away++)
        {
            var (before, after) = ((index - away + DaysOfLeapYear) % DaysOfLeapYear, (index + away) % DaysOfLeapYear);
            if (sums[before].Count > 0)
                return before;
            if (sums[after].Count > 0)
                return after;
        }
    }

    /// <summary>The day's place in a leap year, so that the days after February keep theirs in every year.</summary>
    private static int IndexOf(DateOnly day) => new DateOnly(2000, day.Month, day.Day).DayOfYear - 1;
}
