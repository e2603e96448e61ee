using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// Looks a store over as the service starts, without a reading of its own: the pages while the season is judged, the readings as they
/// are read for that. Its tables have been looked at before.
/// </summary>
internal sealed class StartCheck : IDisposable
{
    private readonly string _path;
    private readonly DateTimeOffset? _from;
    private readonly ReadingsCheck _readings;
    private readonly Task<string[]> _pages;
    private bool _isGiven;

    /// <summary>Begins with the pages.</summary>
    /// <param name="connection">The file.</param>
    /// <param name="from">Readings before this moment are not looked at; <c>null</c>: all are.</param>
    public StartCheck(SqliteConnection connection, DateTimeOffset? from)
    {
        (_path, _from) = (connection.DataSource, from);
        _readings = ReadingsCheck.Parts(connection, StoreCheck.FirstHour(from), mostParts: 1)[0];
        _pages = Task.Run(() => StoreCheck.Pages(_path));
    }

    /// <summary>
    /// What looks at the readings from a moment on as they are read, which is done once; <c>null</c>: it has been given out, or they are
    /// others than are to be looked at.
    /// </summary>
    public ReadingsCheck? ForReading(DateTimeOffset? from)
    {
        if (_isGiven || from != _from)
            return null;
        _isGiven = true;
        return _readings;
    }

    /// <summary>Nothing is wrong. Waits for the pages; readings that nobody has read are looked at now.</summary>
    /// <exception cref="SqliteException">The disk does not give them.</exception>
    public bool IsSound()
    {
        if (_pages.GetAwaiter().GetResult().Length > 0)
            return false;
        try
        {
            ForReading(_from)?.Look(_path);
        }
        catch (Exception failure) when (StoreCheck.Tells(failure))
        {
            return false;
        }

        return _readings.IsOver && StoreCheck.Faults([_readings]).Count == 0;
    }

    /// <summary>Lets go of the file.</summary>
    public void Dispose() => ((IAsyncResult)_pages).AsyncWaitHandle.WaitOne();
}
