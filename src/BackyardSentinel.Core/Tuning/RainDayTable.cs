using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Tuning;

/// <summary>
/// The local days of a planting on which it rained on tissue that can be infected, with the rain and the highest temperature as they
/// grew: where the rule <c>rain-day</c> opens a window is looked up in them. It finds what <see cref="RainDayRule"/> would.
/// </summary>
internal sealed class RainDayTable
{
    // Of a day only where one of both has grown: where it has not, the rule would have opened before.
    private readonly List<Point> _points = [];

    private RainDayTable()
    {
    }

    /// <summary>Goes through a recording once.</summary>
    /// <param name="recording">The recording.</param>
    /// <param name="planting">The planting, by number.</param>
    public static RainDayTable Of(Recording recording, int planting)
    {
        var table = new RainDayTable();
        if (!recording.Site.HasRainGauge)
            return table;
        var (day, midnight, rainMm, maxC) = (-1, DateTimeOffset.MinValue, 0.0, double.NegativeInfinity);
        for (var i = 0; i < recording.Count; i++)
        {
            var weather = recording.At(i);
            if (weather.StartTicks >= midnight.UtcTicks)
                (day, midnight, rainMm, maxC) = (day + 1, LocalDay.EndOf(weather.Start, recording.Site.Zone), 0, double.NegativeInfinity);
            var falls = recording.RoofOf(planting, i) is null && !(weather.TemperatureC is { } t && LimitRounding.Rounded(t) < 0);
            rainMm += falls ? weather.RainMm ?? 0 : 0;
            maxC = Math.Max(maxC, weather.TemperatureC ?? double.NegativeInfinity);
            if (rainMm > 0 && recording.Susceptibility(planting, i) > 0)
                table.Note(new Point(i, day, LimitRounding.Rounded(rainMm), LimitRounding.Rounded(maxC)));
        }

        return table;
    }

    /// <summary>Adds the intervals in which windows open.</summary>
    /// <param name="limits">The rule's limits.</param>
    /// <param name="opened">Takes them.</param>
    public void AddOpenings(RainDayLimits limits, List<int> opened)
    {
        var fired = -1;
        foreach (var point in _points)
        {
            if (point.Day == fired || !(point.RainMm > limits.RainAboveMm && point.MaxC > limits.MaxTempAboveC))
                continue;
            fired = point.Day;
            opened.Add(point.Interval);
        }
    }

    private void Note(Point point)
    {
        if (_points.Count == 0 || _points[^1] is var last && (last.Day, last.RainMm, last.MaxC) != (point.Day, point.RainMm, point.MaxC))
            _points.Add(point);
    }

    private readonly record struct Point(int Interval, int Day, double RainMm, double MaxC);
}
