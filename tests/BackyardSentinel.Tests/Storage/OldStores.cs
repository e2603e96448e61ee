using BackyardSentinel.Tests;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>Stores as earlier versions made them, by the statements of those versions, each with a row in each table.</summary>
internal static class OldStores
{
    private const string First = """
        create table meta(key text primary key, value) without rowid;
        create table series(id integer primary key, name text not null unique);
        create table readings(
          time_ms integer not null, series integer not null, value real not null, received_us integer not null,
          primary key(time_ms, series)) without rowid;
        create table totals(series integer primary key, total real not null, time_ms integer not null);
        insert into meta values('listened', 1801440000000);
        insert into series values(1, 'yard/temperature/t'), (2, 'yard/rain/r');
        insert into readings values(1801440000000, 1, 7.5, 1801440000000001), (1801443600000, 1, 8, 1801443600000001),
          (1801454400000, 1, 8.25, 1801454400000001), (1801458000000, 2, 0.2, 1801458000000001);
        insert into totals values(2, 12.4, 1801458000000);
        """;

    private const string Journal = """
        create table journal(
          number integer primary key, written_us integer not null, kind text not null, site text not null, planting text not null,
          on_day text not null, json text not null, corrects integer, withdraws integer);
        create table outbox(
          id text not null, receiver text not null, episode text not null, created_ms integer not null, useful_until_ms integer not null,
          state text not null, attempts integer not null, next_ms integer, last_answer text, message text not null,
          primary key(id, receiver)) without rowid;
        create table answers(received_us integer primary key, episode text not null, kind text not null, until_ms integer);
        insert into journal values(1, 1801440000000000, 'pick', 'yard', 'peach', '2027-02-01',
          '{"number":0,"on":"2027-02-01","site":"yard","planting":"peach","kind":"pick"}', null, null);
        insert into outbox values('a', 'phone', 'yard/peach/1', 1801440000000, 1801526400000, 'waiting', 0, 1801440000000, null, '{}');
        insert into answers values(1801440000000000, 'yard/peach/1', 'seen', null);
        """;

    private const string Outages = """
        create table outages(from_ms integer primary key);
        create table readings_aside(time_ms integer not null, series integer not null, value real not null, received_us integer not null);
        insert into outages values(1801447200000);
        insert into readings_aside values(1851447200000, 1, 3, 1851447200000000);
        """;

    private const string Deliveries = """
        create table deliveries(number integer primary key, packet integer not null, digest integer not null, waited integer not null);
        insert into deliveries values(1, 7, -12345, 0);
        """;

    private const string Sixth = """
        insert into meta(key, value) values('schema', 6), ('listened', 1801440000000);
        insert into series(id, name) values(1, 'yard/temperature/t'), (2, 'yard/rain/r');
        insert into readings values(1801440000000, 1, 7.5, 1801440000000001, null), (1801443600000, 1, 8, 1801443600000001, null),
          (1801454400000, 1, 8.25, 1801454400000001, null), (1801458000000, 2, 0.2, 1801458000000001, null);
        update readings set sum = row_sum('readings', time_ms, series, value, received_us);
        insert into hours(hour, readings, total) select time_ms / 3600000, count(*), sum(sum) from readings where time_ms < 1801450000000 group by 1;
        insert into totals values(2, 12.4, 1801458000000, row_sum('totals', 2, 12.4, 1801458000000));
        insert into quarantine(topic, reason, first_us, last_us, count, payload, value)
          values('yard/in', 'no number', 1801440000000000, 1801440000000000, 3, x'414243', 77);
        insert into events(key, at) values('yard/peach/window/1', 1801458000000);
        insert into journal(number, written_us, kind, site, planting, on_day, json) values(1, 1801440000000000, 'pick', 'yard', 'peach', '2027-02-01',
          '{"number":0,"on":"2027-02-01","site":"yard","planting":"peach","kind":"pick"}');
        insert into outbox(id, receiver, episode, created_ms, useful_until_ms, state, attempts, next_ms, message)
          values('a', 'phone', 'yard/peach/1', 1801440000000, 1801526400000, 'waiting', 0, 1801440000000, '{}');
        insert into answers(received_us, episode, kind) values(1801440000000000, 'yard/peach/1', 'seen');
        insert into outages(from_ms) values(1801447200000);
        insert into readings_aside(time_ms, series, value, received_us) values(1851447200000, 1, 3, 1851447200000000);
        insert into deliveries values(1, 7, -12345, 0, row_sum('deliveries', 1, 7, -12345, 0));
        """;

    /// <summary>All earlier versions.</summary>
    public static IEnumerable<int> Versions => [1, 2, 3, 4, 5, 6];

    /// <summary>Makes one.</summary>
    /// <param name="path">The file.</param>
    /// <param name="version">1 to 6.</param>
    /// <param name="more">Further statements.</param>
    public static void Make(string path, int version, string more = "")
    {
        using var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = path, Pooling = false }.ToString());
        connection.Open();
        Run("pragma journal_mode = wal");
        if (version == 6)
        {
            connection.CreateFunction("row_sum", (object?[] values) => SampleStore.Sum(values));
            Run(File.ReadAllText(Checkout.Path("tests", "scenarios", "store", "version-6.sql")));
            Run(Sixth + more);
            return;
        }

        Run(First);
        Run(
            "create table quarantine(topic text not null, reason text not null, first_us integer not null, last_us integer not null, "
                + $"count integer not null, payload blob not null{(version > 2 ? ", value real" : "")}, "
                + "primary key(topic, reason)) without rowid");
        Run(
            "insert into quarantine values('yard/in', 'no number', 1801440000000000, 1801440000000000, 3, "
                + $"x'414243'{(version > 2 ? ", 77" : "")})");
        Run(
            "create table events(key text primary key, "
                + $"at integer not null{(version < 5 ? ", site text not null, json text not null" : "")}) without rowid");
        Run($"insert into events values('yard/peach/window/1', 1801458000000{(version < 5 ? ", 'yard', '{}'" : "")})");
        if (version > 1)
            Run(Journal);
        if (version > 2)
            Run(Outages);
        if (version > 3)
            Run(Deliveries);
        Run($"insert into meta values('schema', {version})");
        if (more.Length > 0)
            Run(more);

        void Run(string sql)
        {
            using var command = connection.CreateCommand();
            command.CommandText = sql;
            command.ExecuteNonQuery();
        }
    }
}
