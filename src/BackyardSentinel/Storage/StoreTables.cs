namespace BackyardSentinel.Storage;

/// <summary>One table of the store.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Columns">Its columns with their types, without the sum.</param>
/// <param name="Key">How a row is found again.</param>
/// <param name="Constraint">What follows the columns, with its comma; empty: nothing.</param>
/// <param name="HasRowid">It is kept by a number of its own.</param>
/// <param name="Sums">Who keeps the sums of its rows.</param>
/// <param name="Number">The key's whole-number column by which damaged parts can be leapt over; <c>null</c>: none.</param>
internal sealed record StoreTable(
    string Name,
    string[] Columns,
    string[] Key,
    string Constraint,
    bool HasRowid,
    StoreSums Sums,
    string? Number = null)
{
    /// <summary>The columns' names, without the sum.</summary>
    public string[] Names { get; } = [.. Columns.Select(column => column.Split(' ')[0])];

    /// <summary>The statement that makes it, exactly as a file keeps it.</summary>
    public string Create { get; } =
        $"CREATE TABLE {Name}({string.Join(", ", Columns)}, sum integer{Constraint}){(HasRowid ? "" : " without rowid")}";

    /// <summary>The sum of a row in SQL.</summary>
    /// <param name="of">What stands before each column, such as <c>new.</c>.</param>
    public string SumOf(string of = "") => $"{RowSum.Function}('{Name}', {string.Join(", ", Names.Select(name => of + name))})";

    /// <summary>The triggers that keep the sums, by name.</summary>
    public IEnumerable<(string Name, string Create)> Triggers()
    {
        if (Sums == StoreSums.ByWriter)
            yield break;
        var isCounted = Sums == StoreSums.Counted;
        var where = string.Join(" and ", Key.Select(key => $"{key} = new.{key}"));
        var sum = $"update {Name} set sum = {SumOf("new.")} where {where};";
        yield return ($"{Name}_added",
            $"CREATE TRIGGER {Name}_added after insert on {Name} begin {sum}{Count(1, $"+ {SumOf("new.")}")} end");
        yield return ($"{Name}_changed",
            $"CREATE TRIGGER {Name}_changed after update of {string.Join(", ", Names)} on {Name} begin "
                + $"{sum}{Count(0, $"- old.sum + {SumOf("new.")}")} end");
        if (isCounted)
            yield return ($"{Name}_gone", $"CREATE TRIGGER {Name}_gone after delete on {Name} begin{Count(-1, "- old.sum")} end");

        string Count(int rows, string change) =>
            isCounted
                ? $" insert into sums values('{Name}', {rows}, 0 {change}) on conflict(part) do update set rows = rows + "
                    + "excluded.rows, sum = sum + excluded.sum;"
                : "";
    }
}

/// <summary>Who keeps the sums of a table's rows.</summary>
internal enum StoreSums
{
    /// <summary>Whoever writes the rows: there are many.</summary>
    ByWriter,

    /// <summary>Triggers of the file.</summary>
    ByTrigger,

    /// <summary>Triggers, which also keep the number and sum of all rows: a row that is lost shows, too.</summary>
    Counted,
}

/// <summary>The tables of the store. A change of them is a new version, with a step in <see cref="StoreMigration"/>.</summary>
internal static class StoreTables
{
    /// <summary>Raised with each change of the tables.</summary>
    public const long Version = 7;

    /// <summary>All tables but <c>sums</c>, which counts the others.</summary>
    public static IReadOnlyList<StoreTable> All { get; } =
    [
        new("meta", ["key text primary key", "value"], ["key"], "", HasRowid: false, StoreSums.ByTrigger),
        new("series", ["id integer primary key", "name text not null unique"], ["id"], "", HasRowid: true, StoreSums.Counted, "id"),

        // Keyed by time first: new rows then land side by side, which costs the fewest page writes. ReadingRow tells what stands there.
        new(
            "readings",
            ["time_ms integer not null", "series integer not null", "value not null", "lag_us integer not null"],
            ["time_ms", "series"],
            ", primary key(time_ms, series)",
            HasRowid: false,
            StoreSums.ByWriter,
            "time_ms"),

        // What is left of readings that have grown old: a row for each hour and series, values as in a reading's row.
        new(
            "hourly",
            [
                "hour integer not null", "series integer not null", "low not null", "mean not null", "high not null", "total not null",
                "readings integer not null", "quarters integer not null",
            ],
            ["hour", "series"],
            ", primary key(hour, series)",
            HasRowid: false,
            StoreSums.Counted,
            "hour"),

        // What the readings of each past hour of their own time come to: a reading that is lost shows.
        new(
            "hours",
            ["hour integer primary key", "readings integer not null", "total integer not null"],
            ["hour"],
            "",
            HasRowid: true,
            StoreSums.ByTrigger,
            "hour"),
        new(
            "totals",
            ["series integer primary key", "total real not null", "time_ms integer not null"],
            ["series"],
            "",
            HasRowid: true,
            StoreSums.ByWriter,
            "series"),
        new(
            "events",
            ["key text primary key", "at integer not null"],
            ["key"],
            "",
            HasRowid: false,
            StoreSums.Counted),
        new(
            "quarantine",
            [
                "topic text not null", "reason text not null", "first_us integer not null", "last_us integer not null",
                "count integer not null", "payload blob not null", "value real",
            ],
            ["topic", "reason"],
            ", primary key(topic, reason)",
            HasRowid: false,
            StoreSums.ByTrigger),

        // The journal only grows: a correction names the entry it takes the place of, a withdrawal the one it takes back.
        new(
            "journal",
            [
                "number integer primary key", "written_us integer not null", "kind text not null", "site text not null",
                "planting text not null", "on_day text not null", "json text not null", "corrects integer", "withdraws integer",
            ],
            ["number"],
            "",
            HasRowid: true,
            StoreSums.Counted,
            "number"),

        // One row for each alert and receiver; it ends delivered, superseded or expired, and is not deleted before it has.
        new(
            "outbox",
            [
                "id text not null", "receiver text not null", "episode text not null", "created_ms integer not null",
                "useful_until_ms integer not null", "state text not null", "attempts integer not null", "next_ms integer",
                "last_answer text", "message text not null",
            ],
            ["id", "receiver"],
            ", primary key(id, receiver)",
            HasRowid: false,
            StoreSums.Counted),

        // When listening stopped for a while: the program was off, or its broker out of reach.
        new("outages", ["from_ms integer primary key"], ["from_ms"], "", HasRowid: true, StoreSums.Counted, "from_ms"),

        // What the broker delivered last: by this a message that comes again after a power cut is known. Numbers leave no gap.
        new(
            "deliveries",
            ["number integer primary key", "packet integer not null", "digest integer not null", "waited integer not null"],
            ["number"],
            "",
            HasRowid: true,
            StoreSums.ByWriter,
            "number"),

        // Readings that were stamped while the clock was ahead: when they were true is not known.
        new(
            "readings_aside",
            ["time_ms integer not null", "series integer not null", "value real not null", "received_us integer not null"],
            ["rowid"],
            "",
            HasRowid: true,
            StoreSums.Counted,
            "rowid"),
        new(
            "answers",
            ["received_us integer primary key", "episode text not null", "kind text not null", "until_ms integer"],
            ["received_us"],
            "",
            HasRowid: true,
            StoreSums.Counted,
            "received_us"),
    ];

    /// <summary>Every statement that makes an empty store, by the name of what it makes.</summary>
    public static IReadOnlyList<(string Name, string Create)> Statements { get; } =
    [
        ("sums", "CREATE TABLE sums(part text primary key, rows integer not null, sum integer not null) without rowid"),
        .. All.Select(table => (table.Name, table.Create)),
        .. All.SelectMany(table => table.Triggers()),
    ];
}
