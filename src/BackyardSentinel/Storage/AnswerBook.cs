using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Wording;
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

    /// <summary>
    /// Answers an alert, for everything that its messages tell: the one way for topic, page and command. An episode that has no message
    /// of its own, but is listed in a summary, is answered for itself.
    /// </summary>
    /// <param name="which">The alert's id or an episode.</param>
    /// <param name="until">The end of the wait; <c>null</c>: the grower has seen it.</param>
    /// <param name="now">Now.</param>
    /// <returns>The episodes that were answered; or none, and why not: nothing was written then.</returns>
    public (IReadOnlyList<string> Episodes, Sentence? Reason) Answer(string which, DateTimeOffset? until, DateTimeOffset now)
    {
        var episodes = Episodes(which);
        if (episodes.Count == 0)
            return ([], NoAlert(which));
        using var transaction = _connection.BeginTransaction();
        foreach (var episode in episodes)
            Add(episode, until is null ? "seen" : "later", until, now);
        transaction.Commit();
        return (episodes, null);
    }

    /// <summary>Why an answer to an alert that nobody knows is not taken.</summary>
    /// <param name="which">What was taken for an id or an episode.</param>
    public static Sentence NoAlert(string which) =>
        $"no alert has the id or the episode \"{new Name(TerminalText.Plain(which))}\", so there is nothing to answer";

    /// <summary>Writes an answer down as it is, whether its alert is known here or not.</summary>
    /// <param name="episode">The alert's episode.</param>
    /// <param name="kind"><c>seen</c> or <c>later</c>.</param>
    /// <param name="until">The end of the wait.</param>
    /// <param name="now">Now.</param>
    public void Add(string episode, string kind, DateTimeOffset? until, DateTimeOffset now)
    {
        StoreFiles.MustBeThere(_connection);
        _connection.Run(
            "insert into answers(received_us, episode, kind, until_ms) select max($a, coalesce(max(received_us), "
                + "0) + 1), $b, $c, $d from answers",
            now.ToUnixTimeMilliseconds() * 1000,
            episode,
            kind,
            until?.ToUnixTimeMilliseconds());
    }

    /// <inheritdoc/>
    public void Dispose() => _connection.Dispose();

    private List<string> Episodes(string which)
    {
        if (Told("id = $a", which) is { Count: > 0 } its)
            return its;
        // Which of the messages of an episode is meant cannot be known, and each promised to be answered for all that it tells.
        if (Told("episode = $a", which) is { Count: > 0 } theirs)
            return theirs;
        return Told(OutboxSql.TellsSeveral).Contains(which) ? [which] : [];
    }

    private List<string> Told(string where, params ReadOnlySpan<object?> values) =>
    [
        .. _connection
            .Rows(
                $"select episode, message from outbox where {where} order by created_ms, id",
                row => AlertJson.Read(row.GetString(1))?.Episodes ?? [row.GetString(0)],
                values)
            .SelectMany(episodes => episodes)
            .Distinct(),
    ];
}
