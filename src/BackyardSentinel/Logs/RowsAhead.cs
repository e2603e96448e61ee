using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Logs;

/// <summary>
/// Reads a log some rows ahead of who judges them, at the same time where there are two cores. The rows, and what is rejected
/// between them, come in the order of the log.
/// </summary>
public sealed class RowsAhead : IDisposable
{
    private readonly LogReader _log;
    private readonly Quantity[] _columns;
    private readonly bool _areMomentary;
    private readonly Action<RejectedRow> _onRejected;
    private readonly Block _read = new(Block.Part);
    private Block _current = new(Block.Size), _ahead = new(Block.Size);
    private Task _reading;
    private int _row, _rejected;

    /// <summary>Opens the log and begins to read.</summary>
    /// <param name="paths">Its files.</param>
    /// <param name="options">How to read them.</param>
    /// <param name="onRejected">Told of each row that is not taken when its turn comes.</param>
    /// <exception cref="LogProblemException">A file cannot be read as a log.</exception>
    public RowsAhead(IReadOnlyList<string> paths, LogOptions options, Action<RejectedRow> onRejected)
    {
        _onRejected = onRejected;
        _log = new LogReader(paths, options, row => _read.Rejected.Add((_read.Count, row)));
        (Notes, _columns, _areMomentary) = (_log.Notes, _log.Measured, options.Period == TimeSpan.Zero);
        _reading = Task.Run(Fill);
    }

    /// <summary>What was made of the headers, each sentence once.</summary>
    public IReadOnlyList<string> Notes { get; }

    /// <summary>Bytes read up to the row, or a little more.</summary>
    public long BytesRead => _current.BytesRead;

    /// <summary>Rows read up to the row, or a little more, rejected ones included.</summary>
    public long RowsRead => _current.RowsRead;

    /// <summary>The row read last.</summary>
    public LogRow Current => _current.Row(_row, _columns);

    /// <summary>Its time, UTC.</summary>
    public DateTimeOffset Time => _current.Time(_row);

    /// <summary>Momentary rows that are read already and come next, between which nothing is rejected.</summary>
    public RowRun Next
    {
        get
        {
            var begin = _row + 1;
            var end = _rejected < _current.Rejected.Count ? _current.Rejected[_rejected].Before : _current.Count;
            return _areMomentary && begin < end ? _current.Run(begin, end, _columns) : default;
        }
    }

    /// <summary>Reads the next row by time; of equal times the file named first comes first.</summary>
    /// <param name="file">Place of its file in the list.</param>
    /// <exception cref="LogProblemException">A file cannot be read further.</exception>
    public bool Read(out int file)
    {
        if (++_row >= _current.Count)
            NextBlock();
        if (_rejected < _current.Rejected.Count)
            TellRejected(_row);
        var isThere = _row < _current.Count;
        file = isThere ? _current.Files[_row] : -1;
        return isThere;
    }

    /// <summary>Goes on by some of <see cref="Next"/>, to the last of them.</summary>
    public void Skip(int rows) => _row += rows;

    /// <inheritdoc/>
    public void Dispose()
    {
        ((IAsyncResult)_reading).AsyncWaitHandle.WaitOne();
        _log.Dispose();
    }

    private void NextBlock()
    {
        TellRejected(_current.Count);
        if (_current.IsLast)
            return;
        _reading.GetAwaiter().GetResult();
        (_current, _ahead) = (_ahead, _current);
        (_row, _rejected) = (0, 0);
        if (!_current.IsLast)
            _reading = Task.Run(Fill);
    }

    private void TellRejected(int upTo)
    {
        for (; _rejected < _current.Rejected.Count && _current.Rejected[_rejected].Before <= upTo; _rejected++)
            _onRejected(_current.Rejected[_rejected].Row);
    }

    private void Fill()
    {
        // Rows are read into memory that no other core touches and handed over many at once: where each was written into what the other
        // core read last, the processor would wait for that at each row. Nor is anything of this object touched between.
        var (log, read, ahead, columns) = (_log, _read, _ahead, _columns);
        ahead.Clear();
        while (!ahead.IsLast && ahead.Count < Block.Size)
        {
            while (!read.IsLast && read.Count < Block.Part)
            {
                if (read.AddPlain(log))
                    continue;
                if (log.Read(out var file))
                    read.Add(log.Current, file, columns);
                else
                    read.IsLast = true;
            }

            ahead.Add(read, columns);
            read.Clear();
        }

        (ahead.RowsRead, ahead.BytesRead) = (log.RowsRead, log.BytesRead);
    }

    /// <summary>Rows one behind the other, column by column.</summary>
    /// <param name="size">How many fit in.</param>
    private sealed class Block(int size)
    {
        /// <summary>How many rows change hands at once. One core has to wake the other each time.</summary>
        public const int Size = 16 * Part;

        /// <summary>How many are read before they are laid down where another core will look.</summary>
        public const int Part = 1024;

        // Columns that lie a power of two apart would get into each other's way in the cache.
        private readonly int _stride = size + 8;
        private readonly long[] _ticks = new long[size];
        private readonly long[] _lines = new long[size];
        private readonly TimeSpan[] _periods = new TimeSpan[size];
        // What no column is for stays unused, memory never touched.
        private readonly double[] _values = GC.AllocateUninitializedArray<double>(Quantities.Count * (size + 8));

        public int[] Files { get; } = new int[size];

        public int Count { get; private set; }

        /// <summary>No row follows.</summary>
        public bool IsLast { get; set; }

        /// <summary>What was rejected, with the number of rows before it.</summary>
        public List<(int Before, RejectedRow Row)> Rejected { get; } = [];

        public long RowsRead { get; set; }

        public long BytesRead { get; set; }

        public void Add(in LogRow row, int file, Quantity[] columns)
        {
            var at = Count++;
            (_ticks[at], _lines[at], _periods[at], Files[at]) = (row.Time.UtcTicks, row.Line, row.Period, file);
            var values = row.Values;
            foreach (var quantity in columns)
                _values[((int)quantity * _stride) + at] = values[(int)quantity];
        }

        /// <summary>Takes plain rows of a single file at once, momentary ones; <c>false</c>: the next is to be added by itself.</summary>
        public bool AddPlain(LogReader log)
        {
            var read = log.ReadPlain(_ticks.AsSpan(Count), _lines.AsSpan(Count), _values.AsSpan(Count), _stride);
            Count += read;
            return read > 0;
        }

        /// <summary>Adds all rows of another one.</summary>
        public void Add(Block other, Quantity[] columns)
        {
            var at = Count;
            Rejected.AddRange(other.Rejected.Select(one => (at + one.Before, one.Row)));
            Copy(other._ticks, _ticks);
            Copy(other._lines, _lines);
            Copy(other._periods, _periods);
            Copy(other.Files, Files);
            foreach (var quantity in columns)
                other._values.AsSpan((int)quantity * other._stride, other.Count).CopyTo(_values.AsSpan(((int)quantity * _stride) + at));
            Count += other.Count;
            IsLast = other.IsLast;

            void Copy<T>(T[] from, T[] to) => from.AsSpan(0, other.Count).CopyTo(to.AsSpan(at));
        }

        public DateTimeOffset Time(int at) => new(_ticks[at], TimeSpan.Zero);

        public LogRow Row(int at, Quantity[] columns)
        {
            var row = new LogRow();
            row.Stamp(_lines[at], Time(at), _periods[at]);
            row.Begin();
            foreach (var quantity in columns)
                row.Set(quantity, _values[((int)quantity * _stride) + at]);
            return row;
        }

        public RowRun Run(int begin, int end, Quantity[] columns) =>
            new(_ticks.AsSpan(begin, end - begin), columns, _values.AsSpan(begin), _stride);

        public void Clear()
        {
            (Count, IsLast) = (0, false);
            Rejected.Clear();
        }
    }
}
