using System.Collections;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>Makes of a row what is asked for.</summary>
/// <param name="row">The row, as it was written.</param>
/// <param name="made">What is made of it.</param>
/// <returns>It is asked for.</returns>
public delegate bool MakeOfRow<T>(in StoredReading row, out T made);

/// <summary>
/// Reads a season's readings some thousands ahead of who judges them, at the same time where there are two cores, over a
/// connection of its own.
/// </summary>
internal sealed class ReadingsAhead<T> : IEnumerator<T>
{
    private const int Block = 4096;

    private readonly SqliteConnection _connection;
    private readonly SqliteCommand _command;
    private readonly SqliteDataReader _row;
    private readonly MakeOfRow<T> _make;
    private readonly ReadingsCheck? _check;
    private readonly Action<long> _onEnd;
    private List<T> _current = new(Block), _ahead = new(Block);
    private int _at;
    private long _damaged;
    private Task<Progress> _reading;
    private bool _isOver;

    /// <summary>Begins to read.</summary>
    /// <param name="path">The store's file.</param>
    /// <param name="fromMs">Readings of earlier times are left out, ms since 1970 UTC.</param>
    /// <param name="first">The lowest number of a series that is asked for.</param>
    /// <param name="last">The highest.</param>
    /// <param name="make">Makes of a row what is asked for, as it is read, on the thread that reads.</param>
    /// <param name="check">Looks the rows over as they are read; <c>null</c>: nobody does.</param>
    /// <param name="onEnd">Told at the end how many rows were left out, as they are not as they were written.</param>
    /// <exception cref="StoreException">The file cannot be read.</exception>
    public ReadingsAhead(
        string path, long fromMs, long first, long last, MakeOfRow<T> make, ReadingsCheck? check, Action<long> onEnd)
    {
        (_make, _check, _onEnd) = (make, check, onEnd);
        _connection = StoreReading.Connect(path);
        _command = _connection.Command(
            $"select {ReadingRow.Columns} from readings where time_ms >= $a and series between $b and $c order by time_ms, series",
            fromMs,
            first,
            last);
        _row = _command.ExecuteReader();
        _reading = Task.Run(() => Fill(isFirst: true));
    }

    /// <summary>What was made of the row that was reached, in the order of their own times.</summary>
    public T Current => _current[_at];

    /// <inheritdoc/>
    object? IEnumerator.Current => Current;

    /// <summary>Goes to the next.</summary>
    /// <returns>There is one.</returns>
    /// <exception cref="SqliteException">They cannot be read further.</exception>
    public bool MoveNext() => ++_at < _current.Count || NextBlock();

    /// <inheritdoc/>
    public void Reset() => throw new NotSupportedException();

    /// <inheritdoc/>
    public void Dispose()
    {
        ((IAsyncResult)_reading).AsyncWaitHandle.WaitOne();
        _row.Dispose();
        _command.Dispose();
        _connection.Dispose();
    }

    private bool NextBlock()
    {
        _current.Clear();
        if (_isOver)
            return false;
        var (damaged, isLast) = _reading.GetAwaiter().GetResult();
        (_current, _ahead, _at) = (_ahead, _current, 0);
        _damaged += damaged;
        _isOver = isLast;
        if (isLast)
            _onEnd(_damaged);
        else
            _reading = Task.Run(() => Fill(isFirst: false));
        return _current.Count > 0;
    }

    private Progress Fill(bool isFirst)
    {
        var (rows, row, damaged) = (_ahead, _row, 0L);
        while (rows.Count < Block)
        {
            if (!(isFirst ? row.Read() : ReadingRow.Next(row)))
            {
                _check?.End();
                return new Progress(damaged, IsLast: true);
            }

            isFirst = false;
            var reading = ReadingRow.Of(row, out var sum);
            _check?.Note(reading, sum);
            if (!RowSum.Holds(reading, sum))
                damaged++;
            else if (_make(reading, out var made))
                rows.Add(made);
        }

        return new Progress(damaged, IsLast: false);
    }

    private readonly record struct Progress(long Damaged, bool IsLast);
}
