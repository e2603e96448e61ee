namespace BackyardSentinel.Proofs;

/// <summary>The disk spoils a page of the store while the service runs, as cards do.</summary>
public sealed class BrokenWhileRunningTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-broken-").FullName;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private string Garden => Path.Combine(_folder, "garden.yaml");

    private string Store => Path.Combine(_folder, "garden.db");

    public void Dispose() => Directory.Delete(_folder, true);

    [Theory]
    [InlineData("readings", true)]
    [InlineData("outbox", true)]
    [InlineData("journal", false)]
    public async Task The_service_starts_anew_saves_what_can_be_read_and_goes_on(string table, bool hasJournal)
    {
        using var broker = await Mosquitto.StartAsync();
        Write(broker.Port);
        Fill();
        using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/state");
        using var service = ServiceProcess.Start("run", "--garden", Garden);
        await peer.HearsAsync("sentinel/state", "watching");

        await QuietAsync();
        SampleStore.BreakPage(Store, table);
        if (hasJournal)
            await WriteAsync();

        await SaysAsync(service, "was damaged while it was used");
        await SaysAsync(service, "saved into a new one");
        await Until.TrueAsync(
            () => service.Errors.Split("saved into a new one")[^1].Contains("Connected", StringComparison.Ordinal), "it is back");
        while (!Stored().Contains(12.25))
        {
            await peer.PublishAsync("garden/air", """{"t": 12.25, "h": 80}""");
            await Task.Delay(200, Ct);
        }

        Assert.Equal(0, await service.TerminateAsync(Ct));
        var journal = await ServiceProcess.RunAsync("journal", "list", "--garden", Garden);
        Assert.True(
            hasJournal == journal.Output.Contains("leaf buds begin to swell", StringComparison.Ordinal),
            journal.Output + journal.Errors + service.Errors);
        Assert.Single(Directory.GetFiles(_folder, "garden.db.damaged-*Z"));
    }

    /// <summary>Whatever the start gives rise to is stored: a page that is written anew would be sound again.</summary>
    private async Task QuietAsync()
    {
        DateTime Written() => File.GetLastWriteTimeUtc(Store + "-wal");
        for (DateTime before = default; before != Written();)
        {
            before = Written();
            await Task.Delay(TimeSpan.FromSeconds(2), Ct);
        }
    }

    /// <summary>What is told as written is kept; while the damaged store is moved aside nothing can be.</summary>
    private async Task WriteAsync()
    {
        while (true)
        {
            var written = await ServiceProcess.RunAsync(
                "journal", "add", "stage", "swell", "--planting", "white-peach", "--garden", Garden);
            if (written.ExitCode == 0)
                return;
            Assert.Matches("The store|and nothing was", written.Errors);
        }
    }

    private List<double> Stored()
    {
        using var store = SentinelStore.Reading(Store);
        return [.. store.ReadSeason().Select(row => row.Value)];
    }

    /// <summary>Some weeks of readings, so that there are pages to spoil.</summary>
    private void Fill()
    {
        using var store = SentinelStore.Open(Store);
        var series = store.SeriesId("south-wall/temperature/garden/air#t");
        var batch = new StoreBatch();
        var end = DateTimeOffset.UtcNow.ToUnixTimeMilliseconds();
        for (var hour = 24 * 40; hour > 0; hour--)
            batch.Readings.Add(new StoredReading(series, end - (hour * 3_600_000L), hour % 24 / 2.0, (end - (hour * 3_600_000L)) * 1000));
        store.Commit(batch);
        store.NoteListened(DateTimeOffset.UtcNow);
    }

    private static Task SaysAsync(ServiceProcess service, string words) =>
        Until.TrueAsync(() => service.Errors.Contains(words, StringComparison.Ordinal), $"it says {words}");

    private void Write(int port) => File.WriteAllText(
        Garden,
        $$"""
        name: Tannery Lane
        broker: { port: {{port}}, homie: false }
        store: { path: garden.db, commit_window: 1s }
        alerts: { send_to: [{ id: log, kind: dry-run }] }
        sites:
          - id: south-wall
            series:
              - { quantity: temperature, topic: garden/air, path: t }
              - { quantity: humidity, topic: garden/air, path: h }
            plantings: [{ id: white-peach, kind: peach }]
        """);
}
