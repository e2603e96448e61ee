using BackyardSentinel.Weather;

namespace BackyardSentinel.Forecasts;

/// <summary>Brings the columns of a forecast onto the clock hours.</summary>
internal sealed class ForecastSpread
{
    private static readonly TimeSpan Hour = TimeSpan.FromHours(1), LongestRow = TimeSpan.FromDays(1);
    private readonly ForecastGrid _grid;
    private readonly Dictionary<ForecastQuantity, double?[]> _hours = [];

    public ForecastSpread(IReadOnlyList<ForecastColumn> columns, ForecastGrid grid, ForecastRemarks remarks)
    {
        _grid = grid;
        foreach (var same in columns.GroupBy(column => column.Field.Quantity))
        {
            var spans = new List<ForecastSpan>();
            var instants = new SortedList<DateTimeOffset, double>();
            foreach (var column in same) Collect(column, spans, instants, remarks);
            foreach (var span in spans) Reach(span.Start, span.End);
            foreach (var time in instants.Keys) Reach(time, time + Hour);

            if (same.Key == ForecastQuantity.Rain) _hours[same.Key] = grid.Sums(spans);
            else _hours[same.Key] = Merge(grid.Means(spans), grid.Instants(instants), same.First().Field.Kind == ForecastKind.Mean);
        }
    }

    /// <summary>When the first value begins.</summary>
    public DateTimeOffset? First { get; private set; }

    /// <summary>When the last value ends.</summary>
    public DateTimeOffset? End { get; private set; }

    /// <summary>The hours that have at least one value.</summary>
    public List<ForecastHour> Hours()
    {
        var rows = new List<ForecastHour>();
        for (var i = 0; _grid.Start.AddHours(i) < _grid.End; i++)
        {
            var row = new ForecastHour(
                _grid.Start.AddHours(i),
                At(ForecastQuantity.Temperature, i),
                At(ForecastQuantity.Humidity, i),
                At(ForecastQuantity.Rain, i),
                At(ForecastQuantity.RainProbability, i),
                At(ForecastQuantity.WindSpeed, i),
                At(ForecastQuantity.Cloud, i));
            if (row != new ForecastHour(row.Start, null, null, null))
                rows.Add(row);
        }

        return rows;
    }

    private double? At(ForecastQuantity quantity, int hour) => _hours.TryGetValue(quantity, out var values) ? values[hour] : null;

    private void Reach(DateTimeOffset start, DateTimeOffset end)
    {
        if (First is null || start < First) First = start;
        if (End is null || end > End) End = end;
    }

    private static void Collect(
        ForecastColumn column,
        List<ForecastSpan> spans,
        SortedList<DateTimeOffset, double> instants,
        ForecastRemarks remarks)
    {
        var told = column.Field;
        var kept = new Dictionary<(DateTimeOffset Time, TimeSpan? Length), ForecastCell>();
        foreach (var cell in column.Cells)
        {
            if (kept.GetValueOrDefault((cell.Time, cell.Length)).Value is { } before)
            {
                if (cell.Value is null)
                    continue;
                if (cell.Value != before)
                    remarks.Add(
                        FormattableString.Invariant(
                            $"{told.Name}: {cell.Time:yyyy-MM-dd HH:mm} UTC stands twice with different values; the later one counts"));
            }

            kept[(cell.Time, cell.Length)] = cell;
        }

        var cells = kept.Values.OrderBy(cell => cell.Time).ToList();
        for (var i = 0; i < cells.Count; i++)
        {
            if (cells[i].Value is not { } value) continue;
            if (told.Kind == ForecastKind.Instant)
            {
                instants.TryAdd(cells[i].Time, value); // A field that stands earlier was there first.
                continue;
            }

            var (start, length) = (cells[i].Time, cells[i].Length);
            if (length is null && told.Period == ForecastPeriod.Interval) length = UntilNext(cells, i);
            else if (length is null)
            {
                length = TimeSpan.FromHours(told.Hours);
                if (told.Period == ForecastPeriod.Previous) start -= length.Value;
            }

            // The grid's step is a minute; SenML may give a time within it.
            if (length >= TimeSpan.FromMinutes(1)) spans.Add(new ForecastSpan(start, start + length.Value, value, spans.Count));
        }
    }

    private static TimeSpan UntilNext(List<ForecastCell> cells, int i)
    {
        var length = cells.Count == 1 ? Hour : i + 1 < cells.Count ? cells[i + 1].Time - cells[i].Time : cells[i].Time - cells[i - 1].Time;
        return length < LongestRow ? length : LongestRow;
    }

    private static double?[] Merge(double?[] means, double?[] instants, bool meansFirst)
    {
        var (first, second) = meansFirst ? (means, instants) : (instants, means);
        return [.. first.Zip(second, (one, other) => one ?? other)];
    }
}
