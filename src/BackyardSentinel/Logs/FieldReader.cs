using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Logs;

/// <summary>
/// Reads what stands in the fields of one row: its time and its values. What cannot be read is rejected, each with its reason; of a row
/// whose time is good the other values count.
/// </summary>
internal sealed class FieldReader
{
    private readonly LogRows _rows;
    private readonly LogTime _times;
    private readonly TimeZoneInfo _zone;
    private readonly Action<long, string> _reject;
    private readonly bool _commaDecimals;
    private readonly int _fieldCount, _fieldsNeeded, _time, _timeOfDay;
    private readonly LogColumn[] _columns;

    /// <summary>Knows where everything stands.</summary>
    /// <param name="rows">The rows, which know the line and the separator.</param>
    /// <param name="layout">What stands where.</param>
    /// <param name="fieldCount">How many fields the header has.</param>
    /// <param name="times">Reads a time.</param>
    /// <param name="zone">The zone of the clock by which the times are.</param>
    /// <param name="reject">Told a line and what was wrong there.</param>
    public FieldReader(
        LogRows rows,
        LogLayout layout,
        int fieldCount,
        LogTime times,
        TimeZoneInfo zone,
        Action<long, string> reject)
    {
        (_rows, _fieldCount, _times, _zone, _reject) = (rows, fieldCount, times, zone, reject);
        (_time, _timeOfDay, _columns) = (layout.Time, layout.TimeOfDay, [.. layout.Columns]);
        _fieldsNeeded = 1 + _columns.Select(column => column.Place).Concat([_time, _timeOfDay]).Max();
        _commaDecimals = rows.Separator != ',';
    }

    /// <summary>The time of the current row; <c>false</c>: the row is of no use, and that is told.</summary>
    public bool TryTime(LogFields fields, out DateTimeOffset stamp)
    {
        stamp = default;
        var line = _rows.Line;
        if (_rows.Lines > 1 && RunsOver(fields))
        {
            _reject(line, $"a quote opens here and swallows the lines up to {_rows.LastLine}; none of them is taken");
            return false;
        }

        if (fields.Count < _fieldsNeeded)
        {
            _reject(line, $"has {Fields(fields.Count)} where the header has {_fieldCount}");
            return false;
        }

        if (IsWider(fields))
        {
            _reject(
                line,
                $"has {Fields(fields.Count)} where the header has {_fieldCount}"
                    + (_commaDecimals
                        ? ""
                        : "; where numbers have decimal commas, save the log with semicolons between its columns"));
            return false;
        }

        if (!(_timeOfDay < 0 ? _times.TryRead(fields[_time], out stamp) : TryReadApart(fields, out stamp)))
        {
            var text = LogExcerpt.Of(_timeOfDay < 0 ? fields[_time] : Joined(fields));
            _reject(
                line,
                _times.WasSkipped
                    ? $"\"{text}\" was on no clock in {_zone.Id}: clocks went forward over it"
                    : $"\"{text}\" is not a time such as 2027-02-01T06:00:00Z"
                        + (text.Contains('/')
                            ? "; say how it is written with --time-pattern, such as --time-pattern \"MM/dd/yyyy HH:mm\""
                            : ""));
            return false;
        }

        return true;
    }

    /// <summary>The values of the current row; one that is no number is told, and is none.</summary>
    public void TakeValues(LogFields fields, ref LogRow row)
    {
        foreach (ref readonly var column in _columns.AsSpan())
            row.Set(column.Quantity, column.Reckoned(Number(fields[column.Place], _rows.Line, column.Quantity)));
    }

    /// <summary>Day and time of day from two columns; the second may hold both.</summary>
    private bool TryReadApart(LogFields fields, out DateTimeOffset stamp) =>
        _times.TryRead(fields[_timeOfDay], out stamp) || _times.TryRead(Joined(fields), out stamp);

    /// <summary>As one column would hold them; an hour such as 6:05 has its zero back.</summary>
    private string Joined(LogFields fields)
    {
        var (day, time) = (fields[_time].ToString().Trim(), fields[_timeOfDay].ToString().Trim());
        return $"{day} {(time.IndexOf(':') == 1 ? "0" : "")}{time}";
    }

    /// <summary>Whether it holds more than the header has names for: what belongs to which is not known then.</summary>
    private bool IsWider(LogFields fields)
    {
        for (var place = _fieldCount; place < fields.Count; place++)
        {
            if (!fields[place].IsWhiteSpace())
                return true;
        }

        return false;
    }

    /// <summary>Whether a stray quote has drawn further lines into a value; a note of several lines does no harm.</summary>
    private bool RunsOver(LogFields fields)
    {
        if (fields.Count < _fieldsNeeded || RunsOver(fields[_time]) || (_timeOfDay >= 0 && RunsOver(fields[_timeOfDay])))
            return true;
        foreach (var column in _columns)
        {
            if (RunsOver(fields[column.Place]))
                return true;
        }

        return false;

        static bool RunsOver(ReadOnlySpan<char> text) => text.Trim().Contains('\n');
    }

    /// <summary>The value of a field; NaN where there is none.</summary>
    private double Number(ReadOnlySpan<char> text, long line, Quantity what) =>
        text.IsEmpty ? double.NaN
        : PlainDecimal.TryRead(text, out var value) ? value
        : Unusual(text.Trim(), line, what);

    /// <summary>
    /// Numbers in other forms, decimal commas, and the marks that loggers leave for "nothing"; all else is rejected with its reason.
    /// </summary>
    private double Unusual(ReadOnlySpan<char> text, long line, Quantity what)
    {
        const NumberStyles Styles = NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent;
        if (double.TryParse(text, Styles, CultureInfo.InvariantCulture, out var number) && double.IsFinite(number))
            return number;
        if (NumberReader.IsMissing(text))
            return double.NaN;
        if (_commaDecimals && text.Count(',') == 1 && !text.Contains('.') && text.Length < 40)
        {
            Span<char> dotted = stackalloc char[text.Length];
            text.Replace(dotted, ',', '.');
            if (double.TryParse(dotted, Styles, CultureInfo.InvariantCulture, out number) && double.IsFinite(number))
                return number;
        }

        _reject(line, $"{what.Name()} \"{LogExcerpt.Of(text)}\" is not a number");
        return double.NaN;
    }

    private static string Fields(int count) => count == 1 ? "1 field" : $"{count} fields";
}
