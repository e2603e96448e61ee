using System.Net;
using System.Net.Sockets;
using BackyardSentinel.Hosting;
using Microsoft.Data.Sqlite;
using Serilog.Core;

namespace BackyardSentinel.Live;

public sealed class HostileStoreTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("hostile-store").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task A_second_service_on_one_store_is_refused_while_the_first_runs_and_free_to_start_after_it()
    {
        var file = Path.Combine(_folder, "garden.db");
        using var stop = new CancellationTokenSource();
        var first = RunAsync(file, stop.Token);
        var refusal = await Assert.ThrowsAsync<StoreException>(() => RunAsync(file, CancellationToken.None));
        Assert.Contains("Is another copy running?", refusal.Message, StringComparison.Ordinal);
        await stop.CancelAsync();
        await first;
        using var stopped = new CancellationTokenSource();
        await stopped.CancelAsync();
        await RunAsync(file, stopped.Token);
    }

    [Fact]
    public async Task A_service_that_has_another_name_at_its_broker_than_before_says_so_and_a_new_store_that_it_is_new()
    {
        var file = Path.Combine(_folder, "garden.db");
        var told = new List<string>();
        foreach (var name in new[] { "old", "old", "new", "new" })
        {
            using var log = new LogLines();
            using var stopped = new CancellationTokenSource();
            await stopped.CancelAsync();
            await RunAsync(file, stopped.Token, name, log.Logger);
            told.Add(string.Join(' ', log.Lines));
        }

        Assert.Contains($"There is no store {file} yet", told[0], StringComparison.Ordinal);
        Assert.All(told[1..], lines => Assert.DoesNotContain("There is no store", lines, StringComparison.Ordinal));
        Assert.Contains("as new and was there as old before", told[2], StringComparison.Ordinal);
        Assert.Contains("With client_id: old under broker", told[2], StringComparison.Ordinal);
        Assert.All([told[0], told[1], told[3]], lines => Assert.DoesNotContain("was there as", lines, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("create table readings(x)", "another program or version")]
    [InlineData("create table recipes(name text)", "another program or version")]
    [InlineData("create table meta(key text primary key, value); insert into meta values('schema', 2)", "another program or version")]
    public void A_database_of_another_program_is_refused_and_left_as_it_was(string sql, string why)
    {
        var file = Path.Combine(_folder, "other.db");
        Execute(file, sql);
        var before = File.ReadAllBytes(file);
        var refusal = Assert.Throws<StoreException>(() => SentinelStore.Open(file));
        Assert.Contains(why, refusal.Message, StringComparison.Ordinal);
        Assert.True(refusal.IsLasting);
        Assert.Equal(before, File.ReadAllBytes(file));
    }

    [Theory]
    [InlineData("update meta set value = 99 where key = 'schema'")]
    [InlineData("update meta set value = 'one' where key = 'schema'")]
    [InlineData("delete from meta")]
    public void A_store_whose_schema_has_changed_by_damage_is_refused_by_what_only_opens_it(string sql)
    {
        var file = Path.Combine(_folder, "newer.db");
        SentinelStore.Open(file).Dispose();
        SampleStore.Tamper(file, sql);
        Assert.Contains(
            "the number of its version has changed",
            Assert.Throws<StoreException>(() => SentinelStore.Open(file)).Message,
            StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_known_of_a_forecasts_source_outlives_the_program_and_is_worth_nothing_without_the_answer()
    {
        var file = Path.Combine(_folder, "marks.db");
        var mark = new ForecastMark(
            "a",
            new DateTimeOffset(2027, 2, 1, 6, 0, 0, TimeSpan.Zero),
            "\"v7\"",
            new DateTimeOffset(2027, 2, 1, 5, 0, 0, TimeSpan.Zero));
        SentinelStore.Open(file).Dispose();
        using (var marks = ForecastMarks.Open(file))
        {
            Assert.Null(marks.Read());
            marks.Keep(mark);
            Assert.Equal(mark with { ETag = null, LastModified = null }, marks.Read());
        }

        using (var store = SentinelStore.Open(file)) store.KeepForecast("{}"u8.ToArray());
        using (var marks = ForecastMarks.Open(file)) Assert.Equal(mark, marks.Read());
        SampleStore.Tamper(file, "update meta set value = '{' where key = 'forecast-mark'");
        using (var marks = ForecastMarks.Open(file)) Assert.Null(marks.Read());
    }

    [Fact]
    public async Task A_port_in_use_is_named_together_with_what_to_do()
    {
        using var holder = new TcpListener(IPAddress.Loopback, 0);
        holder.Start();
        var port = ((IPEndPoint)holder.LocalEndpoint).Port;
        var refusal = await Assert.ThrowsAsync<LinkException>(() => EmbeddedBroker.StartAsync(port));
        Assert.Contains($"port {port}", refusal.Message, StringComparison.Ordinal);
    }

    private static Task RunAsync(string file, CancellationToken ct, string? client = null, Serilog.ILogger? log = null) =>
        SentinelHost.RunAsync(
            file,
            [new Site { Id = "yard" }],
            [],
            new BrokerOptions { Port = 1, ClientId = client },
            new LoopOptions(),
            TimeProvider.System,
            log ?? Logger.None,
            null,
            ct);

    private static void Execute(string file, string sql)
    {
        using var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = file, Pooling = false }.ToString());
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }
}
