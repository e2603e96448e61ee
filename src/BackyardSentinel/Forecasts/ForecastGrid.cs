namespace BackyardSentinel.Forecasts;

/// <summary>A stretch of time for which one number holds.</summary>
/// <param name="Start">Its start.</param>
/// <param name="End">Its end, later than the start.</param>
/// <param name="Value">The mean over it, or the amount in it.</param>
/// <param name="Order">Place in the order of preference among stretches of the same length and start; 0 is first.</param>
internal readonly record struct ForecastSpan(DateTimeOffset Start, DateTimeOffset End, double Value, int Order);

/// <summary>Spreads means, amounts and momentary values over the clock hours of UTC.</summary>
internal sealed class ForecastGrid(DateTimeOffset start, int hours)
{
    /// <summary>
    /// Momentary values up to this far apart are joined by a straight line, h; assumed, the longest step that sources use.
    /// </summary>
    private const double LongestGapHours = 6;

    /// <summary>A mean stands for an hour of which it covers at least this many minutes.</summary>
    private const int LeastMinutes = 30;

    public DateTimeOffset Start => start;

    public DateTimeOffset End => start.AddHours(hours);

    /// <summary>
    /// Amounts in mm by the hour. Each is spread evenly; where stretches overlap the shorter counts and the longer keeps its
    /// total by giving the rest to the time left, so that nothing is counted twice.
    /// </summary>
    public double?[] Sums(IEnumerable<ForecastSpan> spans)
    {
        var minutes = Paint(spans, sum: true);
        return ByHour((from, to) =>
        {
            double sum = 0;
            var any = false;
            for (var i = from; i < to; i++)
            {
                if (double.IsNaN(minutes[i])) continue;
                sum += minutes[i];
                any = true;
            }

            return any ? sum : null;
        });
    }

    /// <summary>Means by the hour; where stretches overlap the shorter counts.</summary>
    public double?[] Means(IEnumerable<ForecastSpan> spans)
    {
        var minutes = Paint(spans, sum: false);
        return ByHour((from, to) =>
        {
            double sum = 0;
            var covered = 0;
            for (var i = from; i < to; i++)
            {
                if (double.IsNaN(minutes[i])) continue;
                sum += minutes[i];
                covered++;
            }

            return covered >= LeastMinutes ? sum / covered : null;
        });
    }

    /// <summary>
    /// Momentary values: an hour has the value at its start, read off the line between the values around it; where there is
    /// none, the first value within the hour.
    /// </summary>
    public double?[] Instants(SortedList<DateTimeOffset, double> values)
    {
        var result = new double?[hours];
        var next = 0;
        for (var hour = 0; hour < hours; hour++)
        {
            var at = start.AddHours(hour);
            while (next < values.Count && values.Keys[next] < at) next++;
            if (next == values.Count) break;
            var (time, value) = (values.Keys[next], values.Values[next]);
            if (time > at && next > 0 && (time - values.Keys[next - 1]).TotalHours <= LongestGapHours)
            {
                var (before, from) = (values.Keys[next - 1], values.Values[next - 1]);
                result[hour] = Rounded(from + ((value - from) * ((at - before) / (time - before))));
            }
            else if (time < at.AddHours(1))
            {
                result[hour] = Rounded(value);
            }
        }

        return result;
    }

    private double[] Paint(IEnumerable<ForecastSpan> spans, bool sum)
    {
        var minutes = new double[hours * 60];
        Array.Fill(minutes, double.NaN);
        // Of equal lengths the later is first: a long look-ahead from the last row tells about time that no other row covers.
        foreach (var span in spans.OrderBy(span => span.End - span.Start).ThenByDescending(span => span.Start).ThenBy(span => span.Order))
        {
            var (whole, from, to) = (
                Minute(span.End) - Minute(span.Start),
                Math.Max(0, Minute(span.Start)),
                Math.Min(minutes.Length, Minute(span.End)));
            if (from >= to)
                continue;
            double known = 0;
            var free = 0;
            for (var i = from; i < to; i++)
            {
                if (double.IsNaN(minutes[i])) free++;
                else known += minutes[i];
            }

            if (free == 0) continue;
            var each = sum ? Math.Max(0, (span.Value * (to - from) / whole) - known) / free : span.Value;
            for (var i = from; i < to; i++)
            {
                if (double.IsNaN(minutes[i])) minutes[i] = each;
            }
        }

        return minutes;
    }

    private int Minute(DateTimeOffset time) => (int)Math.Clamp(Math.Floor((time - start).TotalMinutes), -1e8, 1e8);

    private double?[] ByHour(Func<int, int, double?> value)
    {
        var result = new double?[hours];
        for (var hour = 0; hour < hours; hour++) result[hour] = Rounded(value(hour * 60, (hour + 1) * 60));
        return result;
    }

    /// <summary>Takes off the dust of adding up minutes, which is far below any source's last digit.</summary>
    private static double? Rounded(double? value) => value is { } known ? Math.Round(known, 6) + 0.0 : null;
}
