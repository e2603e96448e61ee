using BackyardSentinel.Contract;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>The outbox's statements and the words in which its states are kept.</summary>
internal static class OutboxSql
{
    /// <summary>The end of the year 9000, ms since 1970 UTC: room for what is added to a moment.</summary>
    private const long LastMs = 221_877_273_599_000;

    public const string Columns = "id, receiver, episode, created_ms, useful_until_ms, state, attempts, next_ms, last_answer, message";

    /// <summary>An id and receiver already known stay as they are.</summary>
    public const string Insert = $"insert or ignore into outbox({Columns}) values($a, $b, $c, $d, $e, $f, $g, $h, $i, $j)";

    public const string Supersede = """
        update outbox set state = 'superseded', next_ms = $b, last_answer = 'a newer message took its place'
        where receiver = $a and state = 'waiting' and exists (
          select 1 from outbox newer where newer.receiver = outbox.receiver and newer.episode = outbox.episode
            and newer.created_ms > outbox.created_ms and newer.state in ('waiting', 'delivered'))
        """;

    public const string Expire =
        "update outbox set state = 'expired', next_ms = $b where receiver = $a and state = 'waiting' and useful_until_ms <= $b";

    public const string Due =
        $"select {Columns} from outbox where receiver = $a and state = 'waiting' and next_ms <= $b order by created_ms, id limit 1";

    /// <summary>Another receiver gets what waits for one that is gone; what it has already it does not get again.</summary>
    public const string HandOver =
        $"insert or ignore into outbox({Columns}) select id, $c, episode, created_ms, useful_until_ms, 'waiting', 0, $b, null, message "
            + "from outbox where receiver = $a and state = 'waiting' and useful_until_ms > $b";

    public const string NoteHandOver =
        "update outbox set state = 'superseded', next_ms = $b, last_answer = 'the garden file no longer names this receiver; those that "
            + "it names have it' where receiver = $a and state = 'waiting' and useful_until_ms > $b";

    public const string RejectAll =
        "update outbox set state = 'rejected-reported', next_ms = $b, last_answer = 'the garden file no longer names this receiver' "
            + "where receiver = $a and state in ('waiting', 'expired', 'rejected')";

    /// <summary>Messages that have ended and are told, from before a moment.</summary>
    public const string Forget =
        "delete from outbox where created_ms < $a and state in ('delivered', 'superseded', 'expired-reported', 'rejected-reported')";

    public const string NextDue = "select min(min(next_ms), min(useful_until_ms)) from outbox where receiver = $a and state = 'waiting'";

    /// <summary>Whether a message may tell several episodes; that it does stands in the message itself.</summary>
    public const string TellsSeveral = $"instr(message, '\"{AlertMessage.EpisodesFact}\"') > 0";

    public static string Word(OutboxState state) => state switch
    {
        OutboxState.Waiting => "waiting",
        OutboxState.Delivered => "delivered",
        OutboxState.Superseded => "superseded",
        OutboxState.Expired => "expired",
        OutboxState.Rejected => "rejected",
        OutboxState.ExpiredReported => "expired-reported",
        OutboxState.RejectedReported => "rejected-reported",
    };

    /// <summary>
    /// The state of a word; one that no version writes comes from damage, and such a row is over: sending it could be twice.
    /// </summary>
    public static OutboxState State(string word) =>
        Enum.GetValues<OutboxState>().Cast<OutboxState?>().FirstOrDefault(state => Word(state!.Value) == word)
        ?? OutboxState.RejectedReported;

    /// <summary>A moment of the file, brought into the years that a calendar has: a damaged one must not stop the others.</summary>
    public static long Moment(long ms) => Math.Clamp(ms, 0, LastMs);

    /// <summary>The row's values in the order of <see cref="Columns"/>.</summary>
    public static object[] Values(OutboxRow row) =>
    [
        row.Id, row.Receiver, row.Episode, row.CreatedMs, row.UsefulUntilMs, Word(row.State), row.Attempts, row.NextMs,
        (object?)row.LastAnswer ?? DBNull.Value, row.Message,
    ];

    /// <summary>The row that stands in <see cref="Columns"/>.</summary>
    public static OutboxRow Row(SqliteDataReader row) =>
        new(row.GetString(0), row.GetString(1), row.GetString(2), Moment(row.GetInt64(3)), Moment(row.GetInt64(4)), row.GetString(9))
        {
            State = State(row.GetString(5)),
            Attempts = (int)Math.Clamp(row.GetInt64(6), 0, 1_000_000),
            NextMs = Moment(row.IsDBNull(7) ? row.GetInt64(3) : row.GetInt64(7)),
            LastAnswer = row.IsDBNull(8) ? null : row.GetString(8),
        };
}
