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

    /// <summary>
    /// The same where no day before the hole is known: autumn cools, so the days after it say less about its beginning. ASSUMED.
    /// </summary>
    private const double MoreHeatADayUnseen = 144;

    private const int HoursADay = 24, FewestHoursOfADay = 18;

    private readonly List<(DateOnly Day, double TempC)> _hours = [];
    private readonly List<(double Heat, int Known)> _days = [];
    private readonly List<Gap> _unsettled = [];
    private DateTimeOffset _start;
    private DateOnly _firstDay;
    private DateTimeOffset _dayEnd = DateTimeOffset.MinValue;
    private DateOnly _dayNow;
    private (DateTimeOffset At, double TempC)?[] _lastKnown = new (DateTimeOffset, double)?[HoursADay],
        _knownAtStart = new (DateTimeOffset, double)?[HoursADay];

    /// <summary>A gap whose filling may still change as more becomes known.</summary>
    private sealed record Gap(int From, int To)
    {
        public double Warmest { get; set; }

        public bool LikelySettled { get; set; }
    }

    /// <summary>Number of hours, known or not.</summary>
    public int Count => _hours.Count;

    /// <summary>End of the last hour, known or not, UTC.</summary>
    public DateTimeOffset End => _start.AddHours(_hours.Count);

    /// <summary>Begins a season.</summary>
    /// <param name="at">Its first hour, UTC.</param>
    public void Begin(DateTimeOffset at)
    {
        _start = at;
        _firstDay = LocalDay.Of(at, zone);
        _hours.Clear();
        _days.Clear();
        _unsettled.Clear();
        _knownAtStart = [.. _lastKnown];
        _dayEnd = DateTimeOffset.MinValue;
    }

    /// <summary>Adds the next hour.</summary>
    /// <param name="tempC">Its temperature, °C; NaN: not known.</param>
    /// <param name="heat">Its warmth, degree hours.</param>
    public void Append(double tempC, double heat)
    {
        var at = End;
        if (at >= _dayEnd)
            (_dayNow, _dayEnd) = (LocalDay.Of(at, zone), LocalDay.EndOf(at, zone));
        _hours.Add((_dayNow, tempC));
        var index = _dayNow.DayNumber - _firstDay.DayNumber;
        while (_days.Count <= index)
            _days.Add(default);
        if (double.IsNaN(tempC))
            return;
        if (_hours.Count > 1 && IsUnknown(_hours.Count - 2))
            _unsettled.Add(EndedGap());
        _lastKnown[at.Hour] = (at, tempC);
        _days[index] = (_days[index].Heat + heat, _days[index].Known + 1);
    }

    /// <summary>An hour.</summary>
    public (DateOnly Day, DateTimeOffset End, double TempC) this[int index] =>
        (_hours[index].Day, _start.AddHours(index + 1), _hours[index].TempC);

    /// <summary>Whether an hour is not known.</summary>
    public bool IsUnknown(int index) => double.IsNaN(_hours[index].TempC);

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

    /// <summary>
    /// The most warmth that an hour of the gap that begins here can have brought, as far as is known by now, degree hours.
    /// </summary>
    public double MostHeat(int gapStart)
    {
        var gap = _unsettled.Find(one => one.From == gapStart) ?? new Gap(gapStart, EndOfGap(gapStart));
        (gap.Warmest, gap.LikelySettled) = (WarmestBeside(gap), AfterIsKnown(gap));
        return (gap.Warmest + (IsKnownBefore(gap) ? MoreHeatADay : MoreHeatADayUnseen)) / HoursADay;
    }

    /// <summary>
    /// What stands in for an unknown hour, °C: the same hour of the days beside, else the usual one; <c>null</c>: nothing.
    /// </summary>
    public double? Likely(int index)
    {
        var at = _start.AddHours(index);
        double? before = Before(index),
            after = null;
        for (
            var i = index + HoursADay;
            before is not null && i < _hours.Count && i <= index + (LikelyDays * HoursADay) && after is null;
            i += HoursADay)
            after = IsUnknown(i) ? null : _hours[i].TempC;
        return before is null && after is null ? usual?.At(at) : ((before ?? after!.Value) + (after ?? before!.Value)) / 2;
    }

    /// <summary>The usual temperature of an hour, °C.</summary>
    public double? Usual(int index) => usual?.At(_start.AddHours(index));

    /// <summary>A day is over: whether what stands in for an hour may have changed by what has become known.</summary>
    public bool MayHaveChanged()
    {
        if (_unsettled.Count == 0)
            return false;
        var changed = false;
        foreach (var gap in _unsettled)
        {
            changed |= WarmestBeside(gap) > gap.Warmest;
            changed |= !gap.LikelySettled && AfterIsKnown(gap);
        }

        _unsettled.RemoveAll(gap => gap.LikelySettled && _hours.Count > gap.To + ((WarmestDays + 2) * HoursADay));
        return changed;
    }

    private double? Before(int index)
    {
        for (var i = index - HoursADay; i >= index - (LikelyDays * HoursADay); i -= HoursADay)
        {
            if (i < 0)
            {
                var at = _start.AddHours(index);
                return _knownAtStart[at.Hour] is { } known && at - known.At <= TimeSpan.FromDays(LikelyDays) ? known.TempC : null;
            }

            if (!IsUnknown(i))
                return _hours[i].TempC;
        }

        return null;
    }

    private int EndOfGap(int from)
    {
        var to = from;
        while (to < _hours.Count && IsUnknown(to))
            to++;
        return to;
    }

    private Gap EndedGap()
    {
        var from = _hours.Count - 2;
        while (from > 0 && IsUnknown(from - 1))
            from--;
        var gap = new Gap(from, _hours.Count - 1);
        gap.Warmest = WarmestBeside(gap);
        return gap;
    }

    private bool AfterIsKnown(Gap gap) => _hours.Count >= gap.To + HoursADay;

    private bool IsKnownBefore(Gap gap)
    {
        var first = _hours[gap.From].Day.DayNumber - _firstDay.DayNumber;
        for (var day = Math.Max(0, first - WarmestDays); day < first; day++)
        {
            if (_days[day].Known >= FewestHoursOfADay)
                return true;
        }

        return false;
    }

    private double WarmestBeside(Gap gap)
    {
        var (first, last) = (_hours[gap.From].Day.DayNumber - _firstDay.DayNumber, _hours[gap.To - 1].Day.DayNumber - _firstDay.DayNumber);
        var warmest = 0.0;
        for (var day = Math.Max(0, first - WarmestDays); day < _days.Count && day <= last + WarmestDays; day++)
        {
            if (day > first && day < last)
                day = last;
            if (_days[day].Known >= FewestHoursOfADay)
                warmest = Math.Max(warmest, _days[day].Heat * HoursADay / _days[day].Known);
        }

        return warmest;
    }
}
