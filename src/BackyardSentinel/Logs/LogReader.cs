using BackyardSentinel.Garden;

namespace BackyardSentinel.Logs;

/// <summary>Several log files read as one, merged by time.</summary>
public sealed class LogReader : IDisposable
{
    private readonly List<LogFile> _files = [];
    private readonly LogRow[] _heads;
    private readonly bool[] _live;
    private LogRow _row;

    /// <summary>Opens all files.</summary>
    /// <exception cref="LogProblemException">One of them cannot be read as a log.</exception>
    public LogReader(IReadOnlyList<string> paths, LogOptions options, Action<RejectedRow> onRejected)
    {
        try
        {
            foreach (var path in paths)
                _files.Add(new LogFile(path, options, onRejected));
        }
        catch
        {
            Dispose();
            throw;
        }

        _heads = new LogRow[_files.Count];
        _live = new bool[_files.Count];
        // A single file needs no merging, nor a row read ahead.
        for (var i = 0; i < _files.Count && _files.Count > 1; i++)
            Advance(i);
    }

    /// <summary>Bytes read so far.</summary>
    public long BytesRead => _files.Sum(file => file.BytesRead);

    /// <summary>Rows read so far, rejected ones included.</summary>
    public long RowsRead => _files.Sum(file => file.RowsRead);

    /// <summary>What was made of the headers, each sentence once.</summary>
    public IReadOnlyList<string> Notes => [.. _files.SelectMany(file => file.Notes).Distinct()];

    /// <summary>The quantities of which any of the files has a column, in their order.</summary>
    public Quantity[] Measured =>
        [.. Quantities.All.Select(of => of.Quantity).Where(quantity => _files.Exists(file => file.Has(quantity)))];

    /// <summary>The row read last, in place: the next reading overwrites it.</summary>
    public ref readonly LogRow Current => ref _files.Count == 1 ? ref _files[0].Current : ref _row;

    /// <summary>Reads the next row by time; of equal times the file named first comes first.</summary>
    /// <param name="file">Place of its file in the list.</param>
    public bool Read(out int file)
    {
        if (_files.Count == 1)
        {
            file = 0;
            return _files[0].Read();
        }

        file = -1;
        for (var i = 0; i < _live.Length; i++)
        {
            if (_live[i] && (file < 0 || _heads[i].Time < _heads[file].Time))
                file = i;
        }

        if (file < 0)
            return false;
        _row = _heads[file];
        Advance(file);
        return true;
    }

    /// <summary>The same of rows that lie plainly one behind the other in a single file, as <see cref="LogFile.ReadPlain"/>.</summary>
    internal int ReadPlain(Span<long> ticks, Span<long> lines, Span<double> values, int stride) =>
        _files.Count == 1 ? _files[0].ReadPlain(ticks, lines, values, stride) : 0;

    private void Advance(int file)
    {
        _live[file] = _files[file].Read();
        _heads[file] = _files[file].Current;
    }

    /// <summary>
    /// Whether any row has a value of a quantity: a log without rain is judged as a site without a gauge, one that does not say
    /// how wet it was under the rain shelter as a shelter without a sensor.
    /// </summary>
    public static bool Has(Quantity quantity, IReadOnlyList<string> paths, LogOptions options)
    {
        foreach (var path in paths)
        {
            using var file = new LogFile(path, options, _ => { });
            if (!file.Has(quantity))
                continue;
            while (file.Read())
            {
                if (file.Current[quantity] is not null)
                    return true;
            }
        }

        return false;
    }

    /// <inheritdoc/>
    public void Dispose() => _files.ForEach(file => file.Dispose());
}
