namespace BackyardSentinel.Logs;

/// <summary>
/// Takes rows of the form that fills logs straight from their bytes: the time whole and in UTC, the values plain decimals or missing.
/// All others are left to those who know more forms.
/// </summary>
internal sealed class PlainRow
{
    private readonly LogColumn?[] _columns;
    private readonly int _time, _unused;
    private readonly byte _separator;

    private PlainRow(LogLayout layout, char separator, int fieldCount)
    {
        (_time, _separator) = (layout.Time, (byte)separator);
        _columns = new LogColumn?[1 + layout.Columns.Max(column => Math.Max(column.Place, layout.Time))];
        _unused = fieldCount - _columns.Length;
        foreach (var column in layout.Columns)
            _columns[column.Place] = column;
    }

    /// <summary>Learns where the values stand.</summary>
    /// <param name="layout">The columns.</param>
    /// <param name="separator">What stands between them.</param>
    /// <param name="fieldCount">How many names the header has.</param>
    /// <returns><c>null</c>: no row of such a log is plain.</returns>
    public static PlainRow? Of(LogLayout layout, char separator, int fieldCount)
    {
        var places = layout.Columns.Select(column => column.Place).Append(layout.Time).ToList();
        return layout.TimeOfDay < 0 && places.Distinct().Count() == places.Count ? new PlainRow(layout, separator, fieldCount) : null;
    }

    /// <summary>Takes a row.</summary>
    /// <param name="line">The row without its end.</param>
    /// <param name="times">Reads the times.</param>
    /// <param name="row">Gets the values.</param>
    /// <param name="stamp">Its time as it stands there.</param>
    /// <returns><c>false</c>: the row is of another form.</returns>
    public bool TryTake(ReadOnlySpan<byte> line, LogTime times, ref LogRow row, out DateTimeOffset stamp)
    {
        stamp = default;
        row.Begin();
        for (var place = 0; place < _columns.Length; place++)
        {
            if (place > 0)
            {
                if (line.IsEmpty)
                    return false;
                line = line[1..]; // What separates the fields.
            }

            int length;
            if (_columns[place] is { } column)
            {
                length = PlainDecimal.Read(line, _separator, out var value);
                if (length < 0)
                    return false;
                row.Set(column.Quantity, column.Reckoned(value));
            }
            else
            {
                length = line.IndexOf(_separator);
                if (length < 0)
                    length = line.Length;
                if (place == _time && !times.TryReadPlain(line[..length], out stamp))
                    return false;
            }

            line = line[length..];
        }

        return line.IsEmpty || line.Count(_separator) <= _unused;
    }
}
