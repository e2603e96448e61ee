using BackyardSentinel.Live;
using BackyardSentinel.Storage;
using Microsoft.Data.Sqlite;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Influx;

/// <summary>
/// Copies the season from the store to an InfluxDB server, on a task and a connection of its own: it reads what is committed,
/// so it delays no reading and no acknowledgement. The mark moves only when all before it is safe; a kill in between sends
/// some points again, which take their own places. Failure policy: the server's troubles stay here, the store's are waited for.
/// </summary>
public sealed class InfluxForwarder
{
    /// <summary>Between two looks at the store.</summary>
    private static readonly TimeSpan Turn = TimeSpan.FromMinutes(1);

    /// <summary>Reading and judging may take so large a part of the time: a look rests this many times as long as it took.</summary>
    private const int RestFactor = 20;

    /// <summary>The mark is written so often at most, to spare the memory card.</summary>
    private static readonly TimeSpan KeepEvery = TimeSpan.FromMinutes(10);

    private readonly SeasonFollower _follower;
    private readonly ForwardBook _book;
    private readonly InfluxLines _lines;
    private readonly InfluxSender _sender;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private ForwardMark _mark, _kept;
    private long _keptAt;
    private long? _toldAt;
    private TimeSpan _waited;

    /// <summary>Makes the forwarder; it sends nothing yet.</summary>
    /// <param name="target">Which server, organization, bucket and kinds; with another target all is sent anew.</param>
    /// <param name="follower">Follows the store.</param>
    /// <param name="book">The same store's book.</param>
    /// <param name="lines">What is written.</param>
    /// <param name="sender">The way to the server.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    public InfluxForwarder(
        string target,
        SeasonFollower follower,
        ForwardBook book,
        InfluxLines lines,
        InfluxSender sender,
        TimeProvider time,
        ILogger log)
    {
        ArgumentNullException.ThrowIfNull(book);
        (_follower, _book, _lines, _sender, _time, _log) = (follower, book, lines, sender, time, log);
        _mark = _kept = book.Read() is { } kept && kept.Target == target ? kept : new ForwardMark(target, 0, 0);
        _keptAt = time.GetTimestamp();
    }

    /// <summary>Told after each look that found something, and now and then.</summary>
    public event EventHandler? Looked;

    /// <summary>Readings in the store that are not safe on the server yet.</summary>
    public long Waiting => _follower.CountSince(_mark, _time.GetUtcNow());

    /// <summary>What came up to then is safe on the server, µs since 1970 UTC; 0: nothing.</summary>
    public long SafeUs => _mark.ReceivedUs;

    /// <summary>Sends until cancelled.</summary>
    /// <param name="ct">Asks it to stop.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        await Task.Yield();
        try
        {
            while (true)
            {
                var rest = await LookAsync(ct).ConfigureAwait(false);
                await Task.Delay(rest, _time, ct).ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            // Stopping is no failure; what is not safe is sent at the next start.
        }
        finally
        {
            TryKeep();
        }
    }

    /// <summary>Sends all that the store holds now.</summary>
    /// <param name="ct">Gives up.</param>
    public async Task ForwardAsync(CancellationToken ct)
    {
        while (!await StretchAsync(ct).ConfigureAwait(false))
            await RestAsync(ct).ConfigureAwait(false); // A stretch is a day at most.
    }

    /// <returns>How long to rest.</returns>
    private async Task<TimeSpan> LookAsync(CancellationToken ct)
    {
        var began = _time.GetTimestamp();
        _waited = TimeSpan.Zero;
        try
        {
            await ForwardAsync(ct).ConfigureAwait(false);
            Looked?.Invoke(this, EventArgs.Empty);
        }
        catch (Exception failure) when (failure is SqliteException or StoreException)
        {
            if (_toldAt is not { } before || _time.GetElapsedTime(before) >= TimeSpan.FromHours(1))
            {
                _toldAt = _time.GetTimestamp();
                _log.Warning("Nothing is sent to InfluxDB, since the store cannot be read at the moment ({Reason}).", failure.Message);
            }
        }

        var worked = _time.GetElapsedTime(began) - _waited;
        return worked * RestFactor > Turn ? worked * RestFactor : Turn;
    }

    /// <returns>The store held no more.</returns>
    private async Task<bool> StretchAsync(CancellationToken ct)
    {
        var stretch = _follower.Look(_mark, _time.GetUtcNow());
        List<string> batch = [];
        var isLarge = false;
        foreach (var news in stretch.News)
        {
            foreach (var line in _lines.Of(news))
                batch.Add(line);
            if (batch.Count < InfluxSender.BatchPoints)
                continue;
            isLarge = true;
            await SendAsync(batch, ct).ConfigureAwait(false);
            await RestAsync(ct).ConfigureAwait(false);
        }

        if (batch.Count > 0)
            await SendAsync(batch, ct).ConfigureAwait(false);
        _mark = stretch.Reached;
        if (isLarge || !stretch.IsAll || _time.GetElapsedTime(_keptAt) >= KeepEvery)
            Keep();
        return stretch.IsAll;
    }

    private async Task SendAsync(List<string> batch, CancellationToken ct)
    {
        var began = _time.GetTimestamp();
        await _sender.SendAsync(batch, ct).ConfigureAwait(false);
        _waited += _time.GetElapsedTime(began);
        batch.Clear();
    }

    private async Task RestAsync(CancellationToken ct)
    {
        await Task.Delay(InfluxSender.Pace, _time, ct).ConfigureAwait(false);
        _waited += InfluxSender.Pace;
    }

    private void Keep()
    {
        if (_mark != _kept)
            _book.Keep(_mark);
        (_kept, _keptAt) = (_mark, _time.GetTimestamp());
    }

    private void TryKeep()
    {
        try
        {
            Keep();
        }
        catch (SqliteException)
        {
            // Then some points are sent again.
        }
    }
}
