using BackyardSentinel.Hosting;
using BackyardSentinel.Sensors;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>An invented garden's store with something in each table.</summary>
internal static class SampleStore
{
    public static readonly DateTimeOffset Begin = new(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);

    public static readonly TimeProvider Clock = new Microsoft.Extensions.Time.Testing.FakeTimeProvider(Begin.AddDays(60));

    /// <summary>Tables whose loss or change a grower would notice. What the broker delivered last is not among them.</summary>
    private static readonly string[] Told =
        [
            "series", "readings", "totals", "events", "quarantine", "journal", "outbox", "outages", "answers", "readings_aside",
            "hourly", "meta",
        ];

    /// <summary>Makes one.</summary>
    /// <param name="path">The file.</param>
    /// <param name="hours">So many hours of three series, one reading each five minutes.</param>
    public static void Make(string path, int hours)
    {
        using var store = SentinelStore.Open(path);
        Fill(store, path, hours, 0);
    }

    /// <summary>Goes on writing into one.</summary>
    public static void Fill(SentinelStore store, string path, int hours, int fromHour)
    {
        store.MarkServed();
        int[] series = [store.SeriesId("yard/temperature/a"), store.SeriesId("yard/humidity/a"), store.SeriesId("yard/rain/a")];
        var batch = new StoreBatch();
        for (var step = fromHour * 12; step < (fromHour + hours) * 12; step++)
        {
            var at = Begin.AddMinutes(5 * step).ToUnixTimeMilliseconds();
            for (var i = 0; i < series.Length; i++)
                batch.Readings.Add(
                    new StoredReading(
                        series[i], at + i, i == 2 ? 0.2 * (step % 3) : 5 + (step % 50 * 0.1) + (40 * i), (at * 1000) + (step * 3) + i));
            batch.Totals.Add(new StoredTotal(series[2], 0.2 * step, at));
            batch.Deliveries.Add(new StoredDelivery(step + 1, step % 60_000, step * 7919L, false));
            if (step % 50 == 0)
                batch.Events.Add(new StoredEvent($"yard/old-peach/window/{step}", at));
            if (step % 90 == 0)
                batch.Outbox.Add(
                    new OutboxRow(
                        $"alert-{step}",
                        "phone",
                        $"yard/old-peach/{step}",
                        at,
                        at + 86_400_000,
                        $"{{\"title\":\"Curl weather likely: old peach {step}\"}}"));
            if (step % 100 == 0)
                batch.Quarantine.Add(
                    new QuarantinedMessage("yard/in", $"temperature {step} cannot be", at * 1000, [1, 2, (byte)step]) { Value = -127 });
            if (step % 6 < 5)
                continue;
            store.Commit(batch);
            batch.Clear();
        }

        store.Commit(new StoreBatch { Outages = { Begin.AddHours(fromHour + 3) } });
        store.NoteListened(Begin.AddHours(fromHour + hours));
        store.KeepForecast("{\"hours\":[]}"u8.ToArray());
        using var journal = JournalBook.Beside(path);
        using var answers = AnswerBook.Beside(path);
        for (var day = 0; day < hours / 24; day++)
        {
            journal.Add(
                new StageEntry(
                    0, "yard", "old-peach", DateOnly.FromDateTime(Begin.Date).AddDays(day), day % 2)
                { Note = $"seen on day {day}" },
                Begin.AddHours(fromHour).AddDays(day));
            answers.Add($"yard/old-peach/{day}", "seen", null, Begin.AddHours(fromHour).AddDays(day));
        }
    }

    /// <summary>
    /// Spoils the page at which a table begins, as a disk or card does: no row of it can be read any more. Or the last one below it, so
    /// that reading breaks off there (sqlite.org/fileformat2.html: an interior page has the number of its right-most one at byte 8).
    /// </summary>
    public static void BreakPage(string path, string table, bool isLast = false)
    {
        using var connection = new SqliteConnection($"Data Source={path};Pooling=False");
        connection.Open();
        while (Value("pragma wal_checkpoint(truncate)") != 0)
            Thread.Sleep(20); // Somebody reads or writes: what stayed beside the file would hide the page.
        var (page, bytes) = (Value($"select rootpage from sqlite_master where name = '{table}'"), Value("pragma page_size"));
        connection.Close();
        using var file = File.Open(path, FileMode.Open);
        if (isLast)
        {
            file.Position = ((page - 1) * bytes) + 8;
            Span<byte> number = stackalloc byte[4];
            file.ReadExactly(number);
            page = System.Buffers.Binary.BinaryPrimitives.ReadUInt32BigEndian(number);
        }

        file.Position = (page - 1) * bytes;
        file.Write(Enumerable.Repeat((byte)0x5A, (int)bytes).ToArray());

        long Value(string sql)
        {
            using var command = connection.CreateCommand();
            command.CommandText = sql;
            return (long)command.ExecuteScalar()!;
        }
    }

    /// <summary>Starts on a store as the service does.</summary>
    /// <returns>The damage that it told.</returns>
    public static List<StoreDamage> Start(string path, DateTimeOffset? from = null, Action<SentinelStore>? judge = null)
    {
        List<StoreDamage> damages = [];
        JudgedGarden.Of(path, from, Clock, damages.Add, store =>
        {
            if (judge is null)
                Assert.All(store.ReadSeason(from), row => Assert.True(row.Series > 0));
            judge?.Invoke(store);
            return new JudgedGarden(store, new PayloadMap([]), null, null!);
        }).Dispose();
        return damages;
    }

    /// <summary>All that a store says, a line for each row.</summary>
    public static HashSet<string> Dump(string path)
    {
        using var connection = new SqliteConnection(
            new SqliteConnectionStringBuilder { DataSource = path, Pooling = false, Mode = SqliteOpenMode.ReadOnly }.ToString());
        connection.Open();
        HashSet<string> lines = [];
        foreach (var table in Told.Where(Has))
        {
            using var command = connection.CreateCommand();
            command.CommandText = table == "meta" ? "select key, value from meta where key <> 'damage'"
                : table == "readings" && Has("hourly") ? "select time_ms, series, case typeof(value) when 'integer' then value / 1000.0 "
                    + "else value end, time_ms * 1000 + lag_us from readings"
                : table == "readings" ? "select time_ms, series, value, received_us from readings"
                : $"select * from {table}";
            using var row = command.ExecuteReader();
            while (row.Read())
            {
                var values = Enumerable.Range(0, row.FieldCount)
                    .Select(
                        i => row.GetValue(i) is byte[] bytes
                            ? Convert.ToHexString(bytes)
                            : Convert.ToString(row.GetValue(i), CultureInfo.InvariantCulture));
                lines.Add($"{table}: {string.Join('|', values)}");
            }
        }

        return lines;

        bool Has(string table)
        {
            using var command = connection.CreateCommand();
            command.CommandText = $"select count(*) from sqlite_master where name = '{table}'";
            return (long)command.ExecuteScalar()! == 1;
        }
    }

    /// <summary>Changes a store as a program of ours would: its triggers keep the sums.</summary>
    public static void Change(string path, string sql)
    {
        using var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = path, Pooling = false }.ToString());
        connection.Open();
        connection.CreateFunction("row_sum", (object?[] values) => Sum(values));
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }

    /// <summary>A row's sum by another way than the program's.</summary>
    public static long Sum(object?[] values)
    {
        var sum = uint.MaxValue;
        foreach (var value in values)
        {
            sum = value switch
            {
                long whole => Crc(sum, BitConverter.GetBytes(whole)),
                double real when real == Math.Floor(real) && Math.Abs(real) < 9e15 => Crc(sum, BitConverter.GetBytes((long)real)),
                double real => Crc(sum, BitConverter.GetBytes(real)),
                string text => Crc(sum, [.. BitConverter.GetBytes(Encoding.UTF8.GetByteCount(text) + 0L), .. Encoding.UTF8.GetBytes(text)]),
                byte[] bytes => Crc(sum, [.. BitConverter.GetBytes(bytes.LongLength), .. bytes]),
                _ => Crc(sum, BitConverter.GetBytes(0x9E3779B97F4A7C15)),
            };
        }

        return (int)sum;
    }

    /// <summary>CRC-32C bit by bit, polynomial 1EDC6F41 reversed (RFC 3720, appendix B.4), without the final complement.</summary>
    public static uint Crc(uint sum, byte[] bytes)
    {
        foreach (var one in bytes)
        {
            sum ^= one;
            for (var bit = 0; bit < 8; bit++)
                sum = (sum & 1) == 1 ? (sum >> 1) ^ 0x82F63B78 : sum >> 1;
        }

        return sum;
    }

    /// <summary>Changes a store behind its back, so that its triggers do not see it.</summary>
    public static void Tamper(string path, string sql)
    {
        using var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = path, Pooling = false }.ToString());
        connection.Open();
        connection.CreateFunction("row_sum", (object?[] _) => 0L);
        List<(string Name, string Create)> triggers = [];
        using (var command = connection.CreateCommand())
        {
            command.CommandText = "select name, sql from sqlite_master where type = 'trigger'";
            using var row = command.ExecuteReader();
            while (row.Read())
                triggers.Add((row.GetString(0), row.GetString(1)));
        }

        foreach (var (name, _) in triggers)
            Run($"drop trigger {name}");
        Run(sql);
        foreach (var (_, create) in triggers)
            Run(create);

        void Run(string statement)
        {
            using var command = connection.CreateCommand();
            command.CommandText = statement;
            command.ExecuteNonQuery();
        }
    }
}
