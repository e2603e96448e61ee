using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>
/// Turns intervals into mean temperatures of UTC clock hours, in order and, after the first known hour, without a hole.
/// An hour counts as measured when at least half of it is covered. A gap is filled when data return: up to 3 hours along
/// a straight line, longer ones by the curve of the last day that was well enough known, bent so that it meets the known
/// hours at both ends. The limits of 3 and 24 hours are assumed.
/// </summary>
/// <remarks>Without coordinates the curve takes the sun to rise at 06:00 and to set at 18:00.</remarks>
public sealed class HourlyTemperature
{
    /// <summary>The longest gap filled along a straight line, hours.</summary>
    public const int LongestStraightGapHours = 3;

    /// <summary>The longest gap filled without a flag, hours.</summary>
    public const int LongestCurveGapHours = 24;

    /// <summary>So many measured hours of a day give its extremes. Assumed.</summary>
    private const int HoursForExtremes = 18;

    private readonly DayCurves _curves;
    private readonly Action<HourTemperature> _onHour;
    private long _hourTicks = long.MinValue, _nextTicks = long.MinValue, _coveredTicks;
    private double _weighted;
    private HourTemperature? _lastKnown;
    private DateOnly _day;
    private int _hoursOfDay;
    private double _minC, _maxC;
    private DailyExtremes? _lastFullDay;

    /// <summary>Starts a stream of hours.</summary>
    /// <param name="zone">The site's time zone.</param>
    /// <param name="latitudeDeg">Latitude, degrees; <c>null</c>: not known.</param>
    /// <param name="longitudeDeg">Longitude, degrees, east positive; <c>null</c>: not known.</param>
    /// <param name="onHour">Gets each hour as it becomes known.</param>
    public HourlyTemperature(TimeZoneInfo zone, double? latitudeDeg, double? longitudeDeg, Action<HourTemperature> onHour)
    {
        _curves = new DayCurves(zone, latitudeDeg, longitudeDeg);
        _onHour = onHour;
    }

    /// <summary>Takes the next interval of a site. Intervals may leave holes but must not run backwards.</summary>
    public void Add(in WeatherInterval interval)
    {
        var start = interval.Start.UtcTicks;
        var hour = start - (start % TimeSpan.TicksPerHour);
        if (start < _nextTicks)
            throw new ArgumentException("Intervals must come in order.", nameof(interval));
        if (start + interval.Length.Ticks > hour + TimeSpan.TicksPerHour)
            throw new ArgumentException("An interval must lie within one clock hour.", nameof(interval));

        if (hour != _hourTicks)
            Close();
        (_hourTicks, _nextTicks) = (hour, interval.End.UtcTicks);
        if (interval.TemperatureC is { } tempC)
        {
            var ticks = interval.TemperatureCoverage * interval.Length.Ticks;
            _weighted += tempC * ticks;
            _coveredTicks += (long)Math.Round(ticks);
        }

        if (_nextTicks == hour + TimeSpan.TicksPerHour)
            Close();
    }

    /// <summary>Ends the hour in hand; an hour that is not known is filled in when the next known one comes.</summary>
    private void Close()
    {
        // A millionth of a degree is dropped, so that the length of the intervals does not show in the result.
        if (_coveredTicks * 2 >= TimeSpan.TicksPerHour)
            Know(new DateTimeOffset(_hourTicks, TimeSpan.Zero), LimitRounding.Rounded(_weighted / _coveredTicks));
        (_weighted, _coveredTicks) = (0, 0);
    }

    private void Know(DateTimeOffset start, double tempC)
    {
        var hour = new HourTemperature(start, tempC, HourSource.Measured);
        if (_lastKnown is { } before)
            Fill(before, hour);
        _onHour(hour);
        _lastKnown = hour;

        var today = _curves.DayOf(start);
        if (today != _day || _hoursOfDay == 0)
        {
            if (_hoursOfDay >= HoursForExtremes)
                _lastFullDay = new DailyExtremes(_minC, _maxC);
            (_day, _hoursOfDay, _minC, _maxC) = (today, 0, tempC, tempC);
        }

        _hoursOfDay++;
        (_minC, _maxC) = (Math.Min(_minC, tempC), Math.Max(_maxC, tempC));
    }

    private void Fill(in HourTemperature before, in HourTemperature after)
    {
        var hours = (int)((after.Start - before.Start).Ticks / TimeSpan.TicksPerHour) - 1;
        if (hours == 0)
            return;
        var source = hours <= LongestStraightGapHours ? HourSource.Interpolated
            : hours <= LongestCurveGapHours ? HourSource.Curve : HourSource.Flagged;

        // The day in hand may have its night and its noon already; else the last day that had, else what there is.
        var extremes = _hoursOfDay < HoursForExtremes && _lastFullDay is { } full ? full : new DailyExtremes(_minC, _maxC);
        double Shape(DateTimeOffset at) =>
            source == HourSource.Interpolated ? 0 : _curves.MiddleOfHourC(at, _ => extremes);

        var (offAtStart, offAtEnd) = (before.TempC - Shape(before.Start), after.TempC - Shape(after.Start));
        for (var i = 1; i <= hours; i++)
        {
            var at = before.Start.AddHours(i);
            var bend = offAtStart + ((offAtEnd - offAtStart) * i / (hours + 1));
            _onHour(new HourTemperature(at, Shape(at) + bend, source));
        }
    }
}
