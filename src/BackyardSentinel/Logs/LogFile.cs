using System.Globalization;
using System.IO.Compression;
using BackyardSentinel.Sensors;
using BackyardSentinel.Units;
using nietras.SeparatedValues;

namespace BackyardSentinel.Logs;

/// <summary>
/// One recorded log, row by row and in constant memory: CSV with comma, semicolon or tab, decimal point or comma,
/// quoted or not, plain or gzip. Rows that cannot be read are reported and skipped.
/// </summary>
public sealed class LogFile : IDisposable
{
    private static readonly TimeSpan LargestLastLeap = TimeSpan.FromDays(366);

    private readonly string path;
    private readonly LogOptions options;
    private readonly Action<RejectedRow> onRejected;
    private readonly FileStream file;
    private readonly RowLimitReader text;
    private readonly SepReader rows;
    private readonly LogTime times;
    private readonly Unit temperature, depth, speed;
    private readonly bool commaDecimals;
    private readonly int fieldCount, fieldsNeeded;
    private readonly LogRow[] pair = new LogRow[2];
    private int waiting;
    private bool hasPending;
    private DateTimeOffset lastTime = DateTimeOffset.MinValue;
    private DateTimeOffset lastStamp = DateTimeOffset.MinValue;

    /// <summary>Opens a log and reads its header.</summary>
    /// <exception cref="LogProblemException">The file cannot be read as a log; the message says why.</exception>
    public LogFile(string path, LogOptions options, Action<RejectedRow> onRejected)
    {
        (this.path, this.options, this.onRejected) = (path, options, onRejected);
        times = new LogTime(options.Zone, options.TimePattern);
        (temperature, depth, speed) = (options.Units.UnitOf(Dimension.Temperature), options.Units.UnitOf(Dimension.Depth), options.Units.UnitOf(Dimension.Speed));
        file = Open(path);
        try
        {
            text = new RowLimitReader(new StreamReader(Unpacked(file), bufferSize: 1 << 16));
            // The header is read as a row: names that come twice do no harm where they are not asked for.
            rows = Sep.Reader(o => o with
            {
                HasHeader = false,
                Unescape = true,
                DisableColCountCheck = true,
                CultureInfo = CultureInfo.InvariantCulture,
            }).From(text);
            if (!rows.MoveNext())
                throw new LogProblemException($"{path}: the file is empty; a log needs a header and rows.");
            var header = Header(rows.Current);
            fieldCount = header.Count;
            Columns = LogColumns.Find(path, header, options.Columns, options.Units);
            fieldsNeeded = Columns.Needed;
            commaDecimals = rows.Spec.Sep.Separator != ',';
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

    /// <summary>Where each value stands in the rows.</summary>
    public LogColumns Columns { get; }

    /// <summary>Bytes of the file read so far, packed if the file is packed.</summary>
    public long BytesRead => file.Position;

    /// <summary>Rows read so far, rejected ones included.</summary>
    public long RowsRead { get; private set; }

    /// <summary>The row that waits for its neighbour, and the place for that one.</summary>
    private ref LogRow Pending => ref pair[waiting];

    private ref LogRow Next => ref pair[1 - waiting];

    /// <summary>Reads the next good row; its period is cut at the neighbouring row.</summary>
    public bool TryRead(out LogRow row)
    {
        while (TryParseNext(ref Next))
        {
            if (!hasPending)
            {
                MoveUp();
                hasPending = true;
                continue;
            }

            ref readonly var next = ref Next;
            if (next.Time <= Pending.Time && !Fits(next))
                continue;
            row = Pending;
            if (options.Stamp == LogStamp.Start && row.Time + row.Period > next.Time)
                row.Period = next.Time - row.Time;
            lastTime = row.Time;
            MoveUp();
            return true;
        }

        row = Pending;
        var had = hasPending && !LeapsAtTheEnd();
        hasPending = false;
        return had;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        rows?.Dispose();
        file.Dispose();
    }

    /// <summary>
    /// Holds the next row, which is not later, against the one that waits. A row that leaps far ahead is itself the wrong
    /// one when the row after it goes back; otherwise a row that goes back or repeats a time is wrong.
    /// </summary>
    private bool Fits(in LogRow next)
    {
        if (Pending.Time - next.Time > TimeSpan.FromDays(1) && next.Time > lastTime && Pending.Time - lastTime > TimeSpan.FromDays(1) && lastTime > DateTimeOffset.MinValue)
        {
            Reject(Pending.Line, $"its time leaps ahead to {Show(Pending.Time)} and the next row is back at {Show(next.Time)}");
            MoveUp();
            return false;
        }

        if (next.Time == Pending.Time)
            Reject(next.Line, $"its time {Show(next.Time)} is that of line {Pending.Line} already; the first row counts");
        else if (options.Period == TimeSpan.Zero)
            return true; // A late momentary row may still be in time for its interval.
        else
            Reject(next.Line, $"its time {Show(next.Time)} is earlier than the row before ({Show(Pending.Time)})");
        return false;
    }

    /// <summary>A last row more than a year after the one before is a clock gone wrong, not a year without weather.</summary>
    private bool LeapsAtTheEnd()
    {
        if (lastTime == DateTimeOffset.MinValue || Pending.Time - lastTime <= LargestLastLeap)
            return false;
        Reject(Pending.Line, $"its time leaps ahead to {Show(Pending.Time)}, more than a year after the row before, and no row follows");
        return true;
    }

    private void MoveUp() => waiting = 1 - waiting;

    private bool TryParseNext(ref LogRow row)
    {
        while (MoveNext())
        {
            var current = rows.Current;
            if (current.ColCount == 1 && current.Span.IsWhiteSpace())
                continue;
            RowsRead++;
            if (Parse(current, ref row))
                return true;
        }

        return false;
    }

    private bool MoveNext()
    {
        text.RowEnded();
        try
        {
            return rows.MoveNext();
        }
        catch (InvalidDataException)
        {
            throw new LogProblemException($"{path}: the gzip file is damaged or cut off after {RowsRead} rows; unpack it or copy it again.");
        }
        catch (Exception e) when (e is NotSupportedException or ArgumentException) // Sep's way to say so.
        {
            throw new LogProblemException($"{path}: reading stopped after {RowsRead} rows, as what follows is too long for one row; a quote that is never closed does this.");
        }
        catch (IOException e)
        {
            throw new LogProblemException($"{path}: reading stopped after {RowsRead} rows ({LogExcerpt.OneLine(e.Message).TrimEnd('.')}). Mend the file, or copy it again.");
        }
    }

    private bool Parse(SepReader.Row fields, ref LogRow row)
    {
        long line = fields.LineNumberFrom;
        if (fields.LineNumberToExcl - line > 1 && RunsOver(fields))
        {
            // The line end that closes the file belongs to an open quote too, but begins no line.
            var lastLine = fields.LineNumberToExcl - (fields.Span.EndsWith('\n') ? 2 : 1);
            Reject(line, $"a quote opens here and swallows the lines up to {lastLine}; none of them is taken");
            return false;
        }

        if (fields.ColCount < fieldsNeeded)
        {
            Reject(line, $"has {Fields(fields.ColCount)} where the header has {fieldCount}");
            return false;
        }

        if (!times.TryRead(fields[Columns.Time].Span, out var stamp))
        {
            var text = LogExcerpt.Of(fields[Columns.Time].Span);
            Reject(line, times.WasSkipped
                ? $"\"{text}\" was on no clock in {options.Zone.Id}: clocks went forward over it"
                : $"\"{text}\" is not a time such as 2027-02-01T06:00:00Z{(text.Contains('/') ? "; say how it is written with --time-pattern, such as --time-pattern \"MM/dd/yyyy HH:mm\"" : "")}");
            return false;
        }

        if (stamp < options.From || stamp >= options.To)
            return false;

        var (time, period) = (stamp, options.Period);
        if (options.Stamp == LogStamp.End && period > TimeSpan.Zero)
        {
            time = stamp - period;
            if (lastStamp > time && lastStamp < stamp)
                time = lastStamp;
            period = stamp - time;
            lastStamp = stamp;
        }

        row.Fill(
            line,
            time,
            period,
            temperature.ToReckoned(Number(fields, Columns.Temperature, line, "temperature")),
            Number(fields, Columns.Humidity, line, "humidity"),
            Number(fields, Columns.LeafWetness, line, "leaf wetness"),
            depth.ToReckoned(Number(fields, Columns.Rain, line, "rain")),
            speed.ToReckoned(Number(fields, Columns.Wind, line, "wind")),
            Number(fields, Columns.LeafWetnessUnderShelter, line, "leaf wetness under the shelter"));
        return true;
    }

    /// <summary>Whether a stray quote has drawn further lines into a value; a note of several lines does no harm.</summary>
    private bool RunsOver(SepReader.Row fields)
    {
        if (fields.ColCount < fieldsNeeded)
            return true;
        foreach (var column in Columns.Places)
        {
            if (column >= 0 && fields[column].Span.Trim().Contains('\n'))
                return true;
        }

        return false;
    }

    /// <summary>The value of a field; NaN where there is none.</summary>
    private double Number(SepReader.Row fields, int column, long line, string what)
    {
        if (column < 0)
            return double.NaN;
        var text = fields[column].Span;
        if (text.IsEmpty)
            return double.NaN;
        return PlainDecimal.TryRead(text, out var value) ? value : Unusual(text.Trim(), line, what);
    }

    /// <summary>Numbers in other forms, decimal commas, and the marks that loggers leave for "nothing"; all else is rejected with its reason.</summary>
    private double Unusual(ReadOnlySpan<char> text, long line, string what)
    {
        const NumberStyles Styles = NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent;
        if (double.TryParse(text, Styles, CultureInfo.InvariantCulture, out var number) && double.IsFinite(number))
            return number;
        if (NumberReader.IsMissing(text))
            return double.NaN;
        if (commaDecimals && text.Count(',') == 1 && !text.Contains('.') && text.Length < 40)
        {
            Span<char> dotted = stackalloc char[text.Length];
            text.Replace(dotted, ',', '.');
            if (double.TryParse(dotted, Styles, CultureInfo.InvariantCulture, out number) && double.IsFinite(number))
                return number;
        }

        Reject(line, $"{what} \"{LogExcerpt.Of(text)}\" is not a number");
        return double.NaN;
    }

    private void Reject(long line, string reason) => onRejected(new RejectedRow(path, line, reason));

    private List<string> Header(SepReader.Row fields)
    {
        var names = new List<string>(fields.ColCount);
        for (var i = 0; i < fields.ColCount; i++)
            names.Add(fields[i].ToString());
        if (names.Exists(name => name.Contains('\0') || name.Contains('\uFFFD')))
            throw new LogProblemException($"{path}: not a text file in UTF-8; save the log as CSV in UTF-8.");
        return names;
    }

    private static FileStream Open(string path)
    {
        if (path.Length == 0 || path.Contains('\0'))
            throw new LogProblemException("A log has an empty name; name the file.");
        if (Directory.Exists(path))
            throw new LogProblemException($"{path}: this is a folder; name the log files in it.");
        try
        {
            var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, 0, FileOptions.SequentialScan);
            if (file.CanSeek)
                return file;
            file.Dispose();
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new LogProblemException($"{path}: there is no such file.");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw new LogProblemException($"{path}: cannot be opened ({LogExcerpt.OneLine(e.Message).TrimEnd('.')}).");
        }

        throw new LogProblemException($"{path}: this is a pipe, and a log is read twice; save it to a file first.");
    }

    /// <summary>Recognises gzip by its first two bytes, whatever the file is called.</summary>
    private static Stream Unpacked(FileStream file)
    {
        int first = file.ReadByte(), second = file.ReadByte();
        file.Position = 0;
        return first == 0x1F && second == 0x8B ? new GZipStream(file, CompressionMode.Decompress) : file;
    }

    private static string Fields(int count) => count == 1 ? "1 field" : $"{count} fields";

    private static string Show(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
}
