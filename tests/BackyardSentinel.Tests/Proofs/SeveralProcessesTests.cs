namespace BackyardSentinel.Proofs;

/// <summary>Sites divided among processes by topic, as for several associations or one that is large: each hears its own.</summary>
public sealed class SeveralProcessesTests : IDisposable
{
    private static readonly string[] Names = ["elder-row", "mill-lane", "weir-bank"];
    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-several-").FullName;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public async Task Three_processes_on_one_broker_each_hear_and_publish_their_own_and_none_throws_another_out()
    {
        using var broker = await Mosquitto.StartAsync();
        using var hub = await Peer.ConnectAsync(broker.Port, "#");
        List<ServiceProcess> services = [];
        try
        {
            foreach (var name in Names)
                services.Add(ServiceProcess.Start("run", "--garden", Garden(name, broker.Port)));
            foreach (var name in Names)
                await hub.HearsAsync($"{name}/state", "watching");
            // Each with a time of its own: two that come within a millisecond would else be one reading.
            var now = TimeProvider.System.GetUtcNow();
            for (var round = 0; round < 20; round++)
            {
                var at = now.AddSeconds(round - 60);
                foreach (var name in Names)
                {
                    await hub.PublishAsync(
                        $"gardens/{name}",
                        FormattableString.Invariant($$"""{"t": {{round}}.5, "h": {{60 + round}}, "at": "{{at:yyyy-MM-ddTHH:mm:ssZ}}"}"""));
                }
            }

            // What the broker has may still be on its way to a service that is asked to end; it would come after the next start.
            foreach (var name in Names)
                await Until.TrueAsync(() => Stored(name) >= 40, $"what {name} was sent is stored");
            foreach (var service in services)
                Assert.Equal(0, await service.TerminateAsync(Ct));
            Assert.All(services, service => Assert.DoesNotContain("Another client", service.Errors, StringComparison.Ordinal));
            Assert.All(services, service => Assert.DoesNotContain("closes the connection", service.Errors, StringComparison.Ordinal));
        }
        finally
        {
            foreach (var service in services)
                service.Dispose();
        }

        Assert.All(Names, name => Assert.Equal(40, Stored(name)));

        // Each publishes below its own root alone.
        Assert.All(
            hub.Heard.Where(one => one.Topic.EndsWith("/risk", StringComparison.Ordinal)),
            one => Assert.Equal(one.Topic.Split('/')[0], one.Topic.Split('/')[1]));
    }

    private int Stored(string name)
    {
        using var store = SentinelStore.Reading(Path.Combine(_folder, name + ".db"));
        return store.ReadSeason().Count();
    }

    private string Garden(string name, int port)
    {
        var path = Path.Combine(_folder, name + ".yaml");
        File.WriteAllText(path, $$"""
            name: {{name}}
            broker: { port: {{port}}, topic_root: {{name}} }
            store: { path: {{name}}.db, commit_window: 1s }
            sites:
              - id: {{name}}
                series:
                  - { quantity: temperature, topic: gardens/{{name}}, path: t, time: at }
                  - { quantity: humidity, topic: gardens/{{name}}, path: h, time: at }
                plantings: [{ id: peach, kind: peach }]
            """);
        return path;
    }
}
