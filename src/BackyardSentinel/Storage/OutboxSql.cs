namespace BackyardSentinel.Storage;

/// <summary>The outbox's statements and the words in which its states are kept.</summary>
internal static class OutboxSql
{
    public const string Columns = "id, receiver, episode, created_ms, useful_until_ms, state, attempts, next_ms, last_answer, message";

    /// <summary>An id and receiver already known stay as they are.</summary>
    public const string Insert = $"insert or ignore into outbox({Columns}) values($a, $b, $c, $d, $e, $f, $g, $h, $i, $j)";

    public const string Supersede = """
        update outbox set state = 'superseded', next_ms = $b, last_answer = 'a newer message took its place'
        where receiver = $a and state = 'waiting' and exists (
          select 1 from outbox newer where newer.receiver = outbox.receiver and newer.episode = outbox.episode
            and newer.created_ms > outbox.created_ms and newer.state in ('waiting', 'delivered'))
        """;

    public const string Expire = "update outbox set state = 'expired', next_ms = $b where receiver = $a and state = 'waiting' and useful_until_ms <= $b";

    public const string Due = $"select {Columns} from outbox where receiver = $a and state = 'waiting' and next_ms <= $b order by created_ms, id limit 1";

    public const string NextDue = "select min(min(next_ms), min(useful_until_ms)) from outbox where receiver = $a and state = 'waiting'";

    public static string Word(OutboxState state) => state switch
    {
        OutboxState.Waiting => "waiting",
        OutboxState.Delivered => "delivered",
        OutboxState.Superseded => "superseded",
        OutboxState.Expired => "expired",
        OutboxState.Rejected => "rejected",
        OutboxState.ExpiredReported => "expired-reported",
        _ => "rejected-reported",
    };

    public static OutboxState State(string word) =>
        Enum.GetValues<OutboxState>().FirstOrDefault(state => Word(state) == word, OutboxState.Waiting);

    /// <summary>The row's values in the order of <see cref="Columns"/>.</summary>
    public static object[] Values(OutboxRow row) =>
    [
        row.Id, row.Receiver, row.Episode, row.CreatedMs, row.UsefulUntilMs, Word(row.State), row.Attempts, row.NextMs,
        (object?)row.LastAnswer ?? DBNull.Value, row.Message,
    ];
}
