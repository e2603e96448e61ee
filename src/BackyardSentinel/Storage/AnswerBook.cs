using BackyardSentinel.Alerting;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>An answer to an alert as it is kept.</summary>
/// <param name="ReceivedUs">When it came, µs since 1970 UTC; strictly rising.</param>
/// <param name="Episode">The alert's episode.</param>
/// <param name="Kind"><c>seen</c> or <c>later</c>.</param>
/// <param name="UntilMs">The end of the wait, ms since 1970 UTC; otherwise <c>null</c>.</param>
public sealed record StoredAnswer(long ReceivedUs, string Episode, string Kind, long? UntilMs)
{
    /// <summary>The answer as alerts are decided on by it.</summary>
    public Answer ToAnswer()
    {
        var at = StoredTime.ToMoment(ReceivedUs);
        return UntilMs is { } until
            ? new LaterAnswer(Episode, at, DateTimeOffset.FromUnixTimeMilliseconds(until))
            : new SeenAnswer(Episode, at);
    }
}

/// <summary>
/// The grower's answers to alerts in the store. It has a connection of its own, so that a command may write while the
/// service runs.
/// </summary>
public sealed class AnswerBook : IDisposable
{
    private readonly SqliteConnection _connection;

    private AnswerBook(SqliteConnection connection) => _connection = connection;

    /// <summary>Opens the answers of a store, making it if there is none.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static AnswerBook Open(string path) => new(StoreSchema.Open(path));

    /// <summary>Opens the answers of a store that <see cref="SentinelStore.Open"/> has opened or made.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">There is no such store.</exception>
    public static AnswerBook Beside(string path) => new(StoreSchema.Beside(path));

    /// <summary>Opens the answers of a store that is there, to read them only.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">The store cannot be read.</exception>
    public static AnswerBook Reading(string path) => new(StoreSchema.Read(path));

    /// <summary>When the last answer came, µs since 1970 UTC; 0: none did.</summary>
    public long LastUs() => (long)_connection.Value("select coalesce(max(received_us), 0) from answers")!;

    /// <summary>All answers, oldest first.</summary>
    public IReadOnlyList<StoredAnswer> Rows() =>
        _connection.Rows(
            "select received_us, episode, kind, until_ms from answers order by received_us",
            row => new StoredAnswer(
                Math.Clamp(row.GetInt64(0), StoredTime.FirstMs * 1000, StoredTime.LastMs * 1000),
                row.GetString(1),
                row.GetString(2),
                row.IsDBNull(3) ? null : Math.Clamp(row.GetInt64(3), StoredTime.FirstMs, StoredTime.LastMs)));

    /// <summary>Writes an answer down.</summary>
    /// <param name="episode">The alert's episode.</param>
    /// <param name="kind"><c>seen</c> or <c>later</c>.</param>
    /// <param name="until">The end of the wait.</param>
    /// <param name="now">Now.</param>
    public void Add(string episode, string kind, DateTimeOffset? until, DateTimeOffset now) =>
        _connection.Run(
            "insert into answers(received_us, episode, kind, until_ms) select max($a, coalesce(max(received_us), "
                + "0) + 1), $b, $c, $d from answers",
            now.ToUnixTimeMilliseconds() * 1000,
            episode,
            kind,
            until?.ToUnixTimeMilliseconds());

    /// <inheritdoc/>
    public void Dispose() => _connection.Dispose();
}
