using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// The hours of one season as far as they are known, and what may stand in for the others. A gap of more than three hours
/// is a hole; gaps between which fewer than 24 hours are known are one hole.
/// </summary>
internal sealed class SeasonHours(TimeZoneInfo zone, UsualHours? usual)
{
    /// <summary>Days beside a hole whose temperatures stand in for it, and whose warmest day bounds its warmth. ASSUMED.</summary>
    public const int LikelyDays = 20, WarmestDays = 10;

    /// <summary>What the warmest day beside a hole may be exceeded by, degree hours a day. ASSUMED.</summary>
    private const double MoreHeatADay = 72;

    private const int HoursADay = 24, FewestHoursOfADay = 18;

    private readonly List<(DateOnly Day, double TempC)> hours = [];
    private readonly List<(double Heat, int Known)> days = [];
    private readonly List<Gap> unsettled = [];
    private DateTimeOffset start;
    private DateOnly firstDay;
    private DateTimeOffset dayEnd = DateTimeOffset.MinValue;
    private DateOnly dayNow;
    private (DateTimeOffset At, double TempC)?[] lastKnown = new (DateTimeOffset, double)?[HoursADay], knownAtStart = new (DateTimeOffset, double)?[HoursADay];

    /// <summary>A gap whose filling may still change as more becomes known.</summary>
    private sealed record Gap(int From, int To)
    {
        public double Warmest { get; set; }

        public bool LikelySettled { get; set; }
    }

    /// <summary>Number of hours, known or not.</summary>
    public int Count => hours.Count;

    /// <summary>End of the last hour, known or not, UTC.</summary>
    public DateTimeOffset End => start.AddHours(hours.Count);

    /// <summary>Begins a season.</summary>
    /// <param name="at">Its first hour, UTC.</param>
    public void Begin(DateTimeOffset at)
    {
        start = at;
        firstDay = LocalDay.Of(at, zone);
        hours.Clear();
        days.Clear();
        unsettled.Clear();
        knownAtStart = [.. lastKnown];
        dayEnd = DateTimeOffset.MinValue;
    }

    /// <summary>Adds the next hour.</summary>
    /// <param name="tempC">Its temperature, °C; NaN: not known.</param>
    /// <param name="heat">Its warmth, degree hours.</param>
    public void Append(double tempC, double heat)
    {
        var at = End;
        if (at >= dayEnd)
            (dayNow, dayEnd) = (LocalDay.Of(at, zone), LocalDay.EndOf(at, zone));
        hours.Add((dayNow, tempC));
        var index = dayNow.DayNumber - firstDay.DayNumber;
        while (days.Count <= index)
            days.Add(default);
        if (double.IsNaN(tempC))
            return;
        if (hours.Count > 1 && IsUnknown(hours.Count - 2))
            unsettled.Add(EndedGap());
        lastKnown[at.Hour] = (at, tempC);
        days[index] = (days[index].Heat + heat, days[index].Known + 1);
    }

    /// <summary>An hour.</summary>
    public (DateOnly Day, DateTimeOffset End, double TempC) this[int index] => (hours[index].Day, start.AddHours(index + 1), hours[index].TempC);

    /// <summary>Whether an hour is not known.</summary>
    public bool IsUnknown(int index) => double.IsNaN(hours[index].TempC);

    /// <summary>Whether a hole begins with an unknown hour: the day before it is known.</summary>
    public bool BeginsHole(int index)
    {
        for (var i = index - 1; i >= 0 && i >= index - HoursADay; i--)
        {
            if (IsUnknown(i))
                return false;
        }

        return true;
    }

    /// <summary>The most warmth that an hour of the gap that begins here can have brought, as far as is known by now, degree hours.</summary>
    public double MostHeat(int gapStart)
    {
        var gap = unsettled.Find(one => one.From == gapStart) ?? new Gap(gapStart, EndOfGap(gapStart));
        (gap.Warmest, gap.LikelySettled) = (WarmestBeside(gap), AfterIsKnown(gap));
        return (gap.Warmest + MoreHeatADay) / HoursADay;
    }

    /// <summary>What stands in for an unknown hour, °C: the same hour of the days beside, else the usual one; <c>null</c>: nothing.</summary>
    public double? Likely(int index)
    {
        var at = start.AddHours(index);
        double? before = Before(index), after = null;
        for (var i = index + HoursADay; before is not null && i < hours.Count && i <= index + (LikelyDays * HoursADay) && after is null; i += HoursADay)
            after = IsUnknown(i) ? null : hours[i].TempC;
        return before is null && after is null ? usual?.At(at) : ((before ?? after!.Value) + (after ?? before!.Value)) / 2;
    }

    /// <summary>The usual temperature of an hour, °C.</summary>
    public double? Usual(int index) => usual?.At(start.AddHours(index));

    /// <summary>A day is over: whether what stands in for an hour may have changed by what has become known.</summary>
    public bool MayHaveChanged()
    {
        if (unsettled.Count == 0)
            return false;
        var changed = false;
        foreach (var gap in unsettled)
        {
            changed |= WarmestBeside(gap) > gap.Warmest;
            changed |= !gap.LikelySettled && AfterIsKnown(gap);
        }

        unsettled.RemoveAll(gap => gap.LikelySettled && hours.Count > gap.To + ((WarmestDays + 2) * HoursADay));
        return changed;
    }

    private double? Before(int index)
    {
        for (var i = index - HoursADay; i >= index - (LikelyDays * HoursADay); i -= HoursADay)
        {
            if (i < 0)
            {
                var at = start.AddHours(index);
                return knownAtStart[at.Hour] is { } known && at - known.At <= TimeSpan.FromDays(LikelyDays) ? known.TempC : null;
            }

            if (!IsUnknown(i))
                return hours[i].TempC;
        }

        return null;
    }

    private int EndOfGap(int from)
    {
        var to = from;
        while (to < hours.Count && IsUnknown(to))
            to++;
        return to;
    }

    private Gap EndedGap()
    {
        var from = hours.Count - 2;
        while (from > 0 && IsUnknown(from - 1))
            from--;
        var gap = new Gap(from, hours.Count - 1);
        gap.Warmest = WarmestBeside(gap);
        return gap;
    }

    private bool AfterIsKnown(Gap gap) => hours.Count >= gap.To + HoursADay;

    private double WarmestBeside(Gap gap)
    {
        var (first, last) = (hours[gap.From].Day.DayNumber - firstDay.DayNumber, hours[gap.To - 1].Day.DayNumber - firstDay.DayNumber);
        var warmest = 0.0;
        for (var day = Math.Max(0, first - WarmestDays); day < days.Count && day <= last + WarmestDays; day++)
        {
            if (day > first && day < last)
                day = last;
            if (days[day].Known >= FewestHoursOfADay)
                warmest = Math.Max(warmest, days[day].Heat * HoursADay / days[day].Known);
        }

        return warmest;
    }
}
