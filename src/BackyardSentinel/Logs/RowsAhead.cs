namespace BackyardSentinel.Logs;

/// <summary>
/// Reads a log some rows ahead of who judges them, at the same time where there are two cores. The rows, and what is rejected
/// between them, come in the order of the log.
/// </summary>
internal sealed class RowsAhead : IDisposable
{
    private readonly LogReader _log;
    private readonly Action<RejectedRow> _onRejected;
    private Block _current = new(), _ahead = new();
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
        _log = new LogReader(paths, options, row => _ahead.Rejected.Add((_ahead.Count, row)));
        Notes = _log.Notes;
        _reading = Task.Run(Fill);
    }

    /// <summary>What was made of the headers, each sentence once.</summary>
    public IReadOnlyList<string> Notes { get; }

    /// <summary>Bytes read up to the row, or a little more.</summary>
    public long BytesRead => _current.BytesRead;

    /// <summary>Rows read up to the row, or a little more, rejected ones included.</summary>
    public long RowsRead => _current.RowsRead;

    /// <summary>The row read last, in place: a later reading overwrites it.</summary>
    public ref readonly LogRow Current => ref _current.Rows[_row];

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
        _ahead.Clear();
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
        // In the loop nothing of this object is touched: the other core writes here, and each would wait for the other's memory.
        var (log, block) = (_log, _ahead);
        for (; block.Count < Block.Size && log.Read(out var file); block.Count++)
            (block.Rows[block.Count], block.Files[block.Count]) = (log.Current, file);
        (block.IsLast, block.RowsRead, block.BytesRead) = (block.Count < Block.Size, log.RowsRead, log.BytesRead);
    }

    /// <summary>Rows one behind the other.</summary>
    private sealed class Block
    {
        public const int Size = 4096;

        public LogRow[] Rows { get; } = new LogRow[Size];

        public int[] Files { get; } = new int[Size];

        public int Count { get; set; }

        public bool IsLast { get; set; }

        /// <summary>What was rejected, with the number of rows before it.</summary>
        public List<(int Before, RejectedRow Row)> Rejected { get; } = [];

        public long RowsRead { get; set; }

        public long BytesRead { get; set; }

        public void Clear()
        {
            Count = 0;
            Rejected.Clear();
        }
    }
}
