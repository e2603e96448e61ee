using System.Globalization;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Logs;

/// <summary>
/// One recorded log, row by row and in constant memory: CSV with comma, semicolon or tab, decimal point or comma,
/// quoted or not, plain or gzip. Rows that cannot be read are reported and skipped.
/// </summary>
public sealed class LogFile : IDisposable
{
    private const int SeveralRows = 3;

    private static readonly TimeSpan LargestLeap = TimeSpan.FromDays(366);

    private readonly string _path;
    private readonly LogOptions _options;
    private readonly Action<RejectedRow> _onRejected;
    private readonly FileStream _file;
    private readonly LogRows _rows;
    private readonly PlainRow? _plain;
    private readonly LogTime _times;
    private readonly FieldReader _reader;
    private readonly LogColumn[] _columns;
    // The row that was given, the one that waits for its neighbour, and the place for that one: rows stay where they were read.
    private readonly LogRow[] _read = new LogRow[3];
    private int _given, _waiting = 1, _free = 2;
    private bool _hasPending, _again;
    private DateTimeOffset _lastTime = DateTimeOffset.MinValue;
    private DateTimeOffset _lastStamp = DateTimeOffset.MinValue;
    // Rows so far that are earlier than the one on that line, and how many of them than the one before.
    private long _earlierThan;
    private int _earlier, _falling;
    private DateTimeOffset _earlierTime;

    /// <summary>Opens a log and reads its header.</summary>
    /// <exception cref="LogProblemException">The file cannot be read as a log; the message says why.</exception>
    public LogFile(string path, LogOptions options, Action<RejectedRow> onRejected)
    {
        (_path, _options, _onRejected) = (path, options, onRejected);
        _times = new LogTime(options.Zone, options.TimePattern);
        _file = LogFiles.OpenPacked(path);
        try
        {
            _rows = new LogRows(LogFiles.Unpacked(_file));
            var header = Header();
            var layout = LogLayout.Find(path, header, options);
            (_columns, Notes) = ([.. layout.Columns], layout.Notes);
            _plain = PlainRow.Of(layout, _rows.Separator, header.Count);
            _reader = new FieldReader(_rows, layout, header.Count, _times, options.Zone, Reject);
        }
        catch (InvalidDataException)
        {
            Dispose();
            throw new LogProblemException($"{path}: the gzip file is damaged or cut off in the header; unpack it or copy it again.");
        }
        catch (Exception e) when (e is ArgumentException or NotSupportedException or IOException)
        {
            Dispose();
            throw new LogProblemException($"{path}: not a log of rows and columns ({LogExcerpt.OneLine(e.Message).TrimEnd('.')}).");
        }
        catch (LogProblemException)
        {
            Dispose();
            throw;
        }
    }

    /// <summary>Whether it has a column of a quantity.</summary>
    public bool Has(Quantity quantity) => Array.Exists(_columns, column => column.Quantity == quantity);

    /// <summary>What was made of the header, a sentence each where there is something to say.</summary>
    public IReadOnlyList<string> Notes { get; }

    /// <summary>Bytes of the file read so far, packed if the file is packed.</summary>
    public long BytesRead => _file.Position;

    /// <summary>Rows read so far, rejected ones included.</summary>
    public long RowsRead { get; private set; }

    /// <summary>The row read last, in place: the next reading overwrites it.</summary>
    public ref readonly LogRow Current => ref _read[_given];

    private ref LogRow Pending => ref _read[_waiting];

    private ref LogRow Next => ref _read[_free];

    /// <summary>Reads the next good row; its period is cut at the neighbouring row.</summary>
    public bool Read()
    {
        while (TryParseNext(ref Next))
        {
            if (!_hasPending)
            {
                MoveUp();
                _hasPending = true;
                continue;
            }

            ref readonly var next = ref Next;
            ref var row = ref Pending;
            if (next.Time <= row.Time && !Fits(next))
                continue;
            if (next.Time - row.Time > LargestLeap && _lastTime == DateTimeOffset.MinValue)
            {
                Reject(
                    row.Line,
                    $"its time {Show(row.Time)} is more than a year before the next row, as of a logger whose clock was not set");
                MoveUp();
                continue;
            }

            if (_options.Stamp == LogStamp.Start && row.Time + row.Period > next.Time)
                row.Period = next.Time - row.Time;
            _lastTime = row.Time;
            (_given, _waiting, _free) = (_waiting, _free, _given);
            return true;
        }

        var had = _hasPending && !LeapsAtTheEnd();
        _hasPending = false;
        (_given, _waiting) = (_waiting, _given);
        return had;
    }

    /// <summary>
    /// Reads rows at once that lie plainly one behind the other, column by column: nearly all rows of a long log do.
    /// </summary>
    /// <param name="ticks">Gets their times, UTC ticks, and says how many are wanted.</param>
    /// <param name="lines">Gets their lines.</param>
    /// <param name="values">Gets the columns that the log has, in the order of the quantities.</param>
    /// <param name="stride">How far one column's first value lies from the next one's.</param>
    /// <returns>How many were read; where it is none, the next one is to be read by itself.</returns>
    internal int ReadPlain(Span<long> ticks, Span<long> lines, Span<double> values, int stride)
    {
        if (_plain is null || !_hasPending || _lastTime == DateTimeOffset.MinValue || _options.Period != TimeSpan.Zero)
            return 0;
        // The row that waits for its neighbour comes first, and the last one waits on.
        ref var pending = ref Pending;
        (ticks[0], lines[0]) = (pending.Time.UtcTicks, pending.Line);
        foreach (ref readonly var column in _columns.AsSpan())
            values[(int)column.Quantity * stride] = pending.Values[(int)column.Quantity];
        var last = 0;
        while (last + 1 < ticks.Length && TryTakePlain(values[(last + 1)..], stride, ticks[last], out var stamp))
        {
            last++;
            RowsRead++;
            (ticks[last], lines[last]) = (stamp, _rows.Line);
        }

        if (last == 0)
            return 0;
        _lastTime = new DateTimeOffset(ticks[last - 1], TimeSpan.Zero);
        pending.Stamp(lines[last], new DateTimeOffset(ticks[last], TimeSpan.Zero), TimeSpan.Zero);
        foreach (ref readonly var column in _columns.AsSpan())
            pending.Set(column.Quantity, values[((int)column.Quantity * stride) + last]);
        return last;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _rows?.Dispose();
        _file.Dispose();
    }

    /// <summary>
    /// Holds the next row, which is not later, against the one that waits. A row that leaps far ahead is itself the wrong
    /// one when the row after it goes back; otherwise a row that goes back or repeats a time is wrong.
    /// </summary>
    private bool Fits(in LogRow next)
    {
        if (
            Pending.Time - next.Time > TimeSpan.FromDays(1)
            && next.Time > _lastTime
            && Pending.Time - _lastTime > TimeSpan.FromDays(1)
            && _lastTime > DateTimeOffset.MinValue)
        {
            Reject(Pending.Line, $"its time leaps ahead to {Show(Pending.Time)} and the next row is back at {Show(next.Time)}");
            MoveUp();
            return false;
        }

        if (next.Time == Pending.Time)
            Reject(next.Line, $"its time {Show(next.Time)} is that of line {Pending.Line} already; the first row counts");
        else if (_options.Period == TimeSpan.Zero)
            return true; // A late momentary row may still be in time for its interval.
        else
            Reject(next.Line, $"its time {Show(next.Time)} is earlier than the row before ({Show(Pending.Time)}){Remedy(next)}");
        return false;
    }

    /// <summary>Said once of rows in a row that are earlier than one and the same.</summary>
    private string Remedy(in LogRow next)
    {
        if (_earlierThan != Pending.Line)
            (_earlierThan, _earlier, _falling) = (Pending.Line, 0, 0);
        else if (next.Time < _earlierTime)
            _falling++;
        _earlierTime = next.Time;
        return ++_earlier != SeveralRows ? ""
            : _falling == SeveralRows - 1 ? "; the log seems to run backwards: sort its rows by their time"
            : $"; if it is line {Pending.Line} whose time is wrong, take that row out";
    }

    /// <summary>A last row more than a year after the one before is a clock gone wrong, not a year without weather.</summary>
    private bool LeapsAtTheEnd()
    {
        if (_lastTime == DateTimeOffset.MinValue || Pending.Time - _lastTime <= LargestLeap)
            return false;
        Reject(Pending.Line, $"its time leaps ahead to {Show(Pending.Time)}, more than a year after the row before, and no row follows");
        return true;
    }

    private void MoveUp() => (_waiting, _free) = (_free, _waiting);

    private bool TryParseNext(ref LogRow row)
    {
        while (MoveNext())
        {
            if (_plain is not null && _rows.IsPlain && _plain.TryTake(_rows.Bytes, _times, row.Begin(), 1, out var stamp))
            {
                RowsRead++;
                if (Place(_rows.Line, new DateTimeOffset(stamp, TimeSpan.Zero), ref row))
                    return true;
                continue;
            }

            var fields = _rows.Fields();
            if (fields.IsBlank)
                continue;
            RowsRead++;
            if (Parse(fields, ref row))
                return true;
        }

        return false;
    }

    /// <summary>Takes the next row if it is a plain one, and later than one; if not, it is the next one still.</summary>
    private bool TryTakePlain(Span<double> values, int stride, long after, out long stamp)
    {
        if (
            !_again
            && _rows.Ahead is { IsEmpty: false } ahead
            && _plain!.TakeShort(ahead, _times, values, stride, out stamp) is > 0 and var length
            && IsNext(stamp))
        {
            _rows.Pass(length);
            return true;
        }

        stamp = 0;
        if (!MoveNext())
            return false;
        _again = !_rows.IsPlain || !_plain!.TryTake(_rows.Bytes, _times, values, stride, out stamp) || !IsNext(stamp);
        return !_again;

        bool IsNext(long ticks) => ticks > after && ticks >= _options.From.UtcTicks && ticks < _options.To.UtcTicks;
    }

    private bool MoveNext()
    {
        if (_again)
        {
            _again = false;
            return true;
        }

        try
        {
            return _rows.MoveNext();
        }
        catch (InvalidDataException)
        {
            throw new LogProblemException(
                $"{_path}: the gzip file is damaged or cut off after {RowsRead} rows; unpack it or copy it again.");
        }
        catch (Exception e) when (e is NotSupportedException or ArgumentException) // Sep's way to say so.
        {
            throw new LogProblemException(
                $"{_path}: reading stopped after {RowsRead} rows, as what follows is too long for one row; "
                    + "a quote that is never closed does this.");
        }
        catch (IOException e)
        {
            throw new LogProblemException(
                $"{_path}: reading stopped after {RowsRead} rows ({LogExcerpt.OneLine(e.Message).TrimEnd('.')}). "
                    + "Mend the file, or copy it again.");
        }
    }

    private bool Parse(LogFields fields, ref LogRow row)
    {
        if (!_reader.TryTime(fields, out var stamp) || !Place(_rows.Line, stamp, ref row))
            return false;
        row.Begin();
        _reader.TakeValues(fields, ref row);
        return true;
    }

    /// <summary>Gives a row its place in time; <c>false</c> when it lies outside what is to be read.</summary>
    private bool Place(long line, DateTimeOffset stamp, ref LogRow row)
    {
        if (stamp < _options.From || stamp >= _options.To)
            return false;

        var (time, period) = (stamp, _options.Period);
        if (_options.Stamp == LogStamp.End && period > TimeSpan.Zero)
        {
            time = stamp - period;
            if (_lastStamp > time && _lastStamp < stamp)
                time = _lastStamp;
            period = stamp - time;
            _lastStamp = stamp;
        }

        row.Stamp(line, time, period);
        return true;
    }

    private void Reject(long line, string reason) => _onRejected(new RejectedRow(_path, line, reason));

    private IReadOnlyList<string> Header()
    {
        var names = _rows.Header;
        if (names.Count == 0)
            throw new LogProblemException($"{_path}: the file is empty; a log needs a header and rows.");
        return names.Any(name => name.Contains('\0') || name.Contains('\uFFFD'))
            ? throw new LogProblemException($"{_path}: not a text file in UTF-8; save the log as CSV in UTF-8.")
            : names;
    }

    private static string Show(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
}
