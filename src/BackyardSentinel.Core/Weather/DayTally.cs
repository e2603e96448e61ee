namespace BackyardSentinel.Weather;

/// <summary>Sums intervals up to local days. An interval belongs to the day in which it starts.</summary>
public sealed class DayTally(TimeZoneInfo zone)
{
    private DateTimeOffset _midnight = DateTimeOffset.MinValue;
    private double _sum, _min, _max, _rainMm;
    private long _counted, _length, _known;

    /// <summary>The day that is being summed.</summary>
    public DateOnly Today { get; private set; }

    /// <summary>Takes the next interval.</summary>
    /// <returns>The day that is complete with it, or <c>null</c>.</returns>
    public DayWeather? Add(in WeatherInterval interval)
    {
        if (interval.StartTicks >= _midnight.UtcTicks)
            Begin(interval.Start);
        _length += interval.LengthTicks;
        _rainMm += interval.RainMm ?? 0;
        if (interval.TemperatureC is { } t)
        {
            _sum += t;
            (_min, _max) = (Math.Min(_min, t), Math.Max(_max, t));
            _counted++;
            _known += interval.LengthTicks;
        }

        return interval.EndTicks >= _midnight.UtcTicks ? Close() : null;
    }

    private DayWeather Close() => _counted == 0
        ? new DayWeather(Today, null, null, null, _rainMm, 0)
        : new DayWeather(Today, _sum / _counted, _min, _max, _rainMm, (double)_known / _length);

    private void Begin(DateTimeOffset at)
    {
        _midnight = LocalDay.EndOf(at, zone);
        Today = LocalDay.Of(at, zone);
        (_sum, _min, _max, _rainMm) = (0, double.PositiveInfinity, double.NegativeInfinity, 0);
        (_counted, _length, _known) = (0, 0, 0);
    }
}
