namespace BackyardSentinel.Weather;

/// <summary>Sums intervals up to local days. An interval belongs to the day in which it starts.</summary>
public sealed class DayTally(TimeZoneInfo zone)
{
    private DateTimeOffset midnight = DateTimeOffset.MinValue;
    private double sum, min, max, rainMm;
    private long counted, length, known;

    /// <summary>The day that is being summed.</summary>
    public DateOnly Today { get; private set; }

    /// <summary>Takes the next interval.</summary>
    /// <returns>The day that is complete with it, or <c>null</c>.</returns>
    public DayWeather? Add(in WeatherInterval interval)
    {
        if (interval.Start >= midnight)
            Begin(interval.Start);
        length += interval.Length.Ticks;
        rainMm += interval.RainMm ?? 0;
        if (interval.TemperatureC is { } t)
        {
            sum += t;
            (min, max) = (Math.Min(min, t), Math.Max(max, t));
            counted++;
            known += interval.Length.Ticks;
        }

        return interval.End >= midnight ? Close() : null;
    }

    private DayWeather Close() => counted == 0
        ? new DayWeather(Today, null, null, null, rainMm, 0)
        : new DayWeather(Today, sum / counted, min, max, rainMm, (double)known / length);

    private void Begin(DateTimeOffset at)
    {
        midnight = LocalDay.EndOf(at, zone);
        Today = LocalDay.Of(at, zone);
        (sum, min, max, rainMm) = (0, double.PositiveInfinity, double.NegativeInfinity, 0);
        (counted, length, known) = (0, 0, 0);
    }
}
