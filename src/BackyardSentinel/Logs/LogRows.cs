using System.Buffers;
using System.Globalization;
using System.Text;
using nietras.SeparatedValues;

namespace BackyardSentinel.Logs;

/// <summary>
/// The rows of a log behind its header. Most logs have no quotes and lines that end with LF or CR LF: such rows are cut right out of
/// the bytes. From the first row on that is not so, the library reads, which knows every form.
/// </summary>
internal sealed class LogRows : IDisposable
{
    private static readonly SearchValues<byte> Marks = SearchValues.Create("\n\r\""u8);

    private readonly Stream _stream;
    private readonly byte[] _bytes = new byte[1 << 16];
    private int _at, _length, _next, _end;
    private char[] _chars = new char[1 << 10];
    private int[] _ends = new int[64];
    private RowLimitReader? _text;
    private SepReader? _quoted;
    private long _linesBefore;

    /// <summary>Reads the header; what the library cannot read, it says by an exception.</summary>
    /// <param name="stream">The log, unpacked, at its beginning.</param>
    public LogRows(Stream stream)
    {
        _stream = stream;
        Fill();
        var begin = _bytes.AsSpan(0, _end);
        // Text in another encoding begins with a mark that no UTF-8 has.
        var isUtf8 = begin is [> 0 and < 0xFE, ..];
        _next = begin.StartsWith("\uFEFF"u8) ? 3 : 0; // That mark of it is left out.
        if (isUtf8 && MoveNextPlain() && IsPlain)
        {
            using var line = Sep.Reader(Form).FromText($"{Encoding.UTF8.GetString(Bytes)}\n");
            (Header, Separator) = (line.MoveNext() ? HeaderOf(line.Current) : [], line.Spec.Sep.Separator);
        }
        else
        {
            var isThere = IsPlain ? GoOnQuoted() : Line > 0;
            (Header, Separator) = (isThere ? HeaderOf(_quoted!.Current) : [], _quoted!.Spec.Sep.Separator);
        }
    }

    /// <summary>The heads; empty where the file is.</summary>
    public IReadOnlyList<string> Header { get; }

    /// <summary>What stands between fields.</summary>
    public char Separator { get; }

    /// <summary>The line where the row begins, 1-based.</summary>
    public long Line { get; private set; }

    /// <summary>How many lines it has: more than one where a quote goes over the end of a line.</summary>
    public int Lines { get; private set; }

    /// <summary>The last of them.</summary>
    public long LastLine { get; private set; }

    /// <summary>The row is one line without quotes, and <see cref="Bytes"/> holds it.</summary>
    public bool IsPlain => _quoted is null;

    /// <summary>The row without its end, UTF-8.</summary>
    public ReadOnlySpan<byte> Bytes => _bytes.AsSpan(_at, _length);

    /// <summary>
    /// What comes behind the row, as far as a short plain row must be seen; empty where less is here, or rows have quotes.
    /// </summary>
    public ReadOnlySpan<byte> Ahead =>
        _quoted is null && _end - _next >= PlainRow.Window ? _bytes.AsSpan(_next, PlainRow.Window) : default;

    /// <summary>Goes to the next row, if there is one.</summary>
    public bool MoveNext() => _quoted is null ? MoveNextPlain() : MoveNextQuoted(_quoted);

    /// <summary>Goes to the next row, which was found in <see cref="Ahead"/>.</summary>
    /// <param name="length">How many bytes it has, its end among them.</param>
    public void Pass(int length)
    {
        _at = _next;
        Found(length, length);
    }

    /// <summary>The row's fields; the next row overwrites them.</summary>
    public LogFields Fields() => _quoted is null ? FieldsOfPlain() : FieldsOf(_quoted.Current);

    /// <inheritdoc/>
    public void Dispose() => _quoted?.Dispose();

    private static SepReaderOptions Form(SepReaderOptions options) => options with
    {
        // The header is read as a row: names that come twice do no harm where they are not asked for.
        HasHeader = false,
        Unescape = true,
        DisableColCountCheck = true,
        CultureInfo = CultureInfo.InvariantCulture,
    };

    private static List<string> HeaderOf(SepReader.Row row)
    {
        var heads = new List<string>(row.ColCount);
        for (var i = 0; i < row.ColCount; i++)
            heads.Add(row[i].ToString());
        return heads;
    }

    private bool MoveNextPlain()
    {
        _at = _next;
        while (true)
        {
            var unread = _bytes.AsSpan(_at, _end - _at);
            var mark = unread.IndexOfAny(Marks);
            if (mark >= 0 && unread[mark] == '\n')
                return Found(mark, mark + 1);
            if (mark >= 0 && mark + 1 < unread.Length)
                return unread[mark..].StartsWith("\r\n"u8) ? Found(mark, mark + 2) : GoOnQuoted();
            // The row is not here to its end yet, or its mark not to the one behind it.
            if (unread.Length == _bytes.Length)
                return GoOnQuoted();
            if (Fill())
                continue;
            if (mark >= 0)
                return GoOnQuoted();
            return unread.Length > 0 && Found(unread.Length, unread.Length);
        }
    }

    private bool Found(int length, int toNext)
    {
        (_length, _next) = (length, _at + toNext);
        LastLine = ++Line;
        Lines = 1;
        return true;
    }

    /// <summary>Reads more behind what has not been a row yet; <c>false</c>: there is no more.</summary>
    private bool Fill()
    {
        _bytes.AsSpan(_at, _end - _at).CopyTo(_bytes);
        (_at, _next, _end) = (0, 0, _end - _at);
        var length = _stream.Read(_bytes, _end, _bytes.Length - _end);
        _end += length;
        return length > 0;
    }

    /// <summary>The library goes on where the row begins.</summary>
    private bool GoOnQuoted()
    {
        var rest = _bytes.AsMemory(_at, _end - _at);
        if (Line == 0)
        {
            _text = new RowLimitReader(new StreamReader(new RestOfStream(rest, _stream), bufferSize: 1 << 16));
            return MoveNextQuoted(_quoted = Sep.Reader(Form).From(_text));
        }

        // It counts lines from its first row on, and that one it counts wrongly: an empty one stands before.
        _linesBefore = Line - 1;
        var text = new RestOfStream(new byte[] { (byte)'\n' }, new RestOfStream(rest, _stream));
        // Behind the header a mark of byte order is none.
        _text = new RowLimitReader(new StreamReader(text, new UTF8Encoding(false), detectEncodingFromByteOrderMarks: false, 1 << 16));
        _quoted = new Sep(Separator).Reader(Form).From(_text);
        return _quoted.MoveNext() && MoveNextQuoted(_quoted);
    }

    private bool MoveNextQuoted(SepReader reader)
    {
        _text!.RowEnded();
        if (!reader.MoveNext())
            return false;
        var row = reader.Current;
        (Line, Lines) = (_linesBefore + row.LineNumberFrom, row.LineNumberToExcl - row.LineNumberFrom);
        // The line end that closes the file belongs to an open quote too, but begins no line.
        LastLine = Line + Lines - (row.Span.EndsWith('\n') ? 2 : 1);
        return true;
    }

    private LogFields FieldsOfPlain()
    {
        if (_chars.Length < _length)
            Array.Resize(ref _chars, Math.Max(_length, 2 * _chars.Length));
        var text = _chars.AsSpan(0, Encoding.UTF8.GetChars(Bytes, _chars));
        var count = 0;
        for (int at = 0, length; at <= text.Length; at += length + 1)
        {
            length = text[at..].IndexOf(Separator);
            if (length < 0)
                length = text.Length - at;
            End(ref count, at + length);
        }

        return new LogFields(text, _ends.AsSpan(0, count), count == 1 && ((ReadOnlySpan<char>)text).IsWhiteSpace());
    }

    private LogFields FieldsOf(SepReader.Row row)
    {
        var (count, length) = (0, 0);
        for (var i = 0; i < row.ColCount; i++)
        {
            var field = row[i].Span;
            if (_chars.Length < length + field.Length + 1)
                Array.Resize(ref _chars, Math.Max(length + field.Length + 1, 2 * _chars.Length));
            field.CopyTo(_chars.AsSpan(length));
            End(ref count, length + field.Length);
            length += field.Length + 1;
        }

        return new LogFields(_chars.AsSpan(0, length), _ends.AsSpan(0, count), row.ColCount == 1 && row.Span.IsWhiteSpace());
    }

    private void End(ref int count, int at)
    {
        if (count == _ends.Length)
            Array.Resize(ref _ends, 2 * count);
        _ends[count++] = at;
    }
}
