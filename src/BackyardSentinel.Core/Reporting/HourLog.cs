using BackyardSentinel.Weather;

namespace BackyardSentinel.Reporting;

/// <summary>
/// A site's hours as small numbers, one after the other, in pieces of a month: 32 bytes an hour, and growing copies nothing.
/// </summary>
internal sealed class HourLog
{
    private const int HoursOfPiece = 31 * 24;

    private readonly List<Row[]> _pieces = [];
    private long _first;
    private int _count;
    private Sum _now;

    /// <summary>Takes the next interval; none goes over the end of an hour.</summary>
    public void Add(in WeatherInterval interval, Wetness wetness)
    {
        var hour = interval.Start.UtcTicks / TimeSpan.TicksPerHour;
        if (_count == 0)
            _first = hour;
        while (_first + _count <= hour)
        {
            if (_count > 0)
                Keep(_count - 1, _now.Row);
            _now = new Sum();
            Keep(_count++, _now.Row);
        }

        _now.Add(interval, wetness);
    }

    /// <summary>The hours that touch a time, the running one with what is known of it.</summary>
    public IReadOnlyList<AlmanacHour> Between(DateTimeOffset from, DateTimeOffset to)
    {
        var begin = (int)Math.Max(0, (from.UtcTicks / TimeSpan.TicksPerHour) - _first);
        var end = (int)Math.Min(_count, HourUp(to) - _first);
        List<AlmanacHour> hours = new(Math.Max(0, end - begin));
        for (var i = begin; i < end; i++)
        {
            var row = i == _count - 1 ? _now.Row : _pieces[i / HoursOfPiece][i % HoursOfPiece];
            hours.Add(row.At(new DateTimeOffset((_first + i) * TimeSpan.TicksPerHour, TimeSpan.Zero)));
        }

        return hours;
    }

    private static long HourUp(DateTimeOffset at) => (at.UtcTicks + TimeSpan.TicksPerHour - 1) / TimeSpan.TicksPerHour;

    private void Keep(int index, Row row)
    {
        if (index / HoursOfPiece == _pieces.Count)
            _pieces.Add(new Row[HoursOfPiece]);
        _pieces[index / HoursOfPiece][index % HoursOfPiece] = row;
    }

    private readonly record struct Row(
        float LowC, float MeanC, float HighC, float HumidityPct, float RainMm, float WetShare, float TemperatureShare, float WetnessShare)
    {
        public AlmanacHour At(DateTimeOffset start) => new(
            start, Known(LowC), Known(MeanC), Known(HighC), Known(HumidityPct), Known(RainMm), WetShare, TemperatureShare, WetnessShare);

        private static double? Known(float value) => float.IsNaN(value) ? null : value;
    }

    /// <summary>What an hour comes to, interval by interval.</summary>
    private struct Sum()
    {
        private double _low = double.NaN, _high = double.NaN, _temperature, _humidity, _rain = double.NaN;
        private long _temperatureTicks, _humidityTicks, _wetnessTicks;
        private double _wetTicks;

        public void Add(in WeatherInterval interval, Wetness wetness)
        {
            var ticks = interval.Length.Ticks;
            if (interval.TemperatureC is { } t)
            {
                (_low, _high) = _temperatureTicks == 0 ? (t, t) : (Math.Min(_low, t), Math.Max(_high, t));
                (_temperature, _temperatureTicks) = (_temperature + (t * ticks), _temperatureTicks + ticks);
            }

            if (interval.HumidityPct is { } humidity)
                (_humidity, _humidityTicks) = (_humidity + (humidity * ticks), _humidityTicks + ticks);
            if (interval.RainMm is { } rain)
                _rain = double.IsNaN(_rain) ? rain : _rain + rain;
            if (wetness.State != WetnessState.Unknown)
                _wetnessTicks += ticks;
            _wetTicks += wetness.Fraction * ticks;
        }

        public readonly Row Row => new(
            (float)_low,
            (float)(_temperature / _temperatureTicks),
            (float)_high,
            (float)(_humidity / _humidityTicks),
            (float)_rain,
            (float)(_wetTicks / TimeSpan.TicksPerHour),
            (float)_temperatureTicks / TimeSpan.TicksPerHour,
            (float)_wetnessTicks / TimeSpan.TicksPerHour);
    }
}
