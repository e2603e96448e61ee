namespace BackyardSentinel.Proofs;

/// <summary>The garden file is changed while the service runs, and SIGHUP says so.</summary>
public sealed class GardenChangeTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-garden-change-").FullName;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private string Garden => Path.Combine(_folder, "garden.yaml");

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task A_bad_file_changes_nothing_a_good_one_counts_and_no_message_is_lost()
    {
        using var broker = await Mosquitto.StartAsync();
        Write(broker.Port);
        using var peer = await Peer.ConnectAsync(broker.Port, "sentinel/state");
        using var service = ServiceProcess.StartHearingHangUp("run", "--garden", Garden);
        await peer.HearsAsync("sentinel/state", "watching");
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Ct);
        var sending = SendAsync(peer, stop.Token);

        Write(broker.Port, more: "quantity: warmth");
        await service.HangUpAsync(Ct);
        await SaysAsync(service, "'warmth'");
        await SaysAsync(service, "The service goes on as before");

        Write(broker.Port, login: ", username: me, password: \"file:not-there\"");
        await service.HangUpAsync(Ct);
        await SaysAsync(service, "not-there");

        Write(broker.Port, store: "path: /dev/null/garden.db");
        await service.HangUpAsync(Ct);
        await SaysAsync(service, "goes on with what it had read before");

        Write(broker.Port, more: "quantity: leaf-wetness, topic: garden/leaf, path: l");
        await service.HangUpAsync(Ct);
        await Until.TrueAsync(() => service.Errors.Split("read anew").Length == 3, "it starts again");
        await Until.TrueAsync(() => service.Errors.Split("read anew")[^1].Contains("Connected", StringComparison.Ordinal), "it is back");
        await stop.CancelAsync();
        var sent = await sending;

        // What is said on a new topic before the broker knows that somebody listens reaches nobody.
        while (!Stored()["south-wall/leafwetness/garden/leaf#l"].Any())
        {
            await peer.PublishAsync("garden/leaf", """{"l": 7}""");
            await Task.Delay(200, Ct);
        }

        Assert.Equal(0, await service.TerminateAsync(Ct));
        Assert.Equal(sent, Stored()["south-wall/temperature/garden/air#t"]);
    }

    private ILookup<string, double> Stored()
    {
        using var store = SentinelStore.Reading(Path.Combine(_folder, "data", "sentinel.db"));
        return store.ReadSeason().ToLookup(row => store.SeriesNames[row.Series], row => row.Value);
    }

    private static async Task<List<double>> SendAsync(Peer peer, CancellationToken ct)
    {
        List<double> sent = [];
        for (var n = 0; !ct.IsCancellationRequested; n++)
        {
            sent.Add(n / 1000.0);
            await peer.PublishAsync("garden/air", string.Create(CultureInfo.InvariantCulture, $$"""{"t": {{n / 1000.0}}, "h": 80}"""));
            await Task.Delay(20, CancellationToken.None);
        }

        return sent;
    }

    private static Task SaysAsync(ServiceProcess service, string words) =>
        Until.TrueAsync(() => service.Errors.Contains(words, StringComparison.Ordinal), $"it says {words}");

    private void Write(int port, string login = "", string store = "commit_window: 1s", string? more = null) => File.WriteAllText(
        Garden,
        $$"""
        name: Tannery Lane
        broker: { port: {{port}}, homie: false{{login}} }
        store: { {{store}} }
        sites:
          - id: south-wall
            series:
              - { quantity: temperature, topic: garden/air, path: t }
              - { quantity: humidity, topic: garden/air, path: h }
              {{(more is null ? "" : $"- {{ {more} }}")}}
            plantings: [{ id: white-peach, kind: peach }]
        """);
}
