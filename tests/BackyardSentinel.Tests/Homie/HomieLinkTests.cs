using BackyardSentinel.Weather;
using Serilog.Core;

namespace BackyardSentinel.Homie;

/// <summary>The device over a broker: what a hub that comes later finds, and the life of its state.</summary>
public sealed class HomieLinkTests
{
    private const string Root = "homie/5/backyard-sentinel";

    private static readonly Site South = new() { Id = "south-wall", Plantings = [new Planting("white-peach", Stage: 9)] };

    private static SiteWatch Judged()
    {
        var watch = new SiteWatch(South, _ => { });
        var at = new DateTimeOffset(2027, 2, 1, 6, 0, 0, TimeSpan.Zero);
        watch.Accept(new Reading(Quantity.Temperature, at, 8.5), at);
        watch.Accept(new Reading(Quantity.Humidity, at, 80), at);
        watch.AdvanceTo(at.AddMinutes(12));
        return watch;
    }

    [Fact]
    public async Task A_hub_finds_everything_retained_at_a_broker_of_its_own_process()
    {
        using var broker = await Mosquitto.StartAsync();
        await LiveAsync(broker.Port);
    }

    [Fact]
    public async Task A_hub_finds_everything_retained_at_the_embedded_broker()
    {
        await using var broker = await EmbeddedBroker.StartAsync();
        await LiveAsync(broker.Port);
    }

    private static async Task LiveAsync(int port)
    {
        // A clock that stands still: no limit of the link ends on a slow machine.
        var link = new HomieLink(new BrokerOptions { Port = port }, [South], new FakeTimeProvider(), Logger.None);
        using var early = await Peer.ConnectAsync(port, "homie/5/#");
        using var stop = new CancellationTokenSource();
        await early.PublishAsync($"{Root}/$alert/left-by-an-earlier-run", "Disk nearly full.", retain: true);
        link.Show([new SiteWatch(South, _ => { })]);
        var running = link.RunAsync(stop.Token);
        await early.HearsAsync($"{Root}/$state", "ready");
        link.Show([Judged()]);
        link.ShowTroubles([("south-wall-rain", "The rain gauge is silent.")]);
        await early.HearsAsync($"{Root}/south-wall/temperature", "8.5");
        await early.HearsAsync($"{Root}/$alert/south-wall-rain", "silent");

        using (var late = await Peer.ConnectAsync(port, "homie/5/#"))
        {
            await late.HearsAsync($"{Root}/$state", "ready");
            await late.HearsAsync($"{Root}/$description", "\"level-number\"");
            await late.HearsAsync($"{Root}/south-wall/temperature", "8.5");
            await late.HearsAsync($"{Root}/south-wall-white-peach/level", "clear");
            await late.HearsAsync($"{Root}/$alert/south-wall-rain", "silent");
            // Only the deletion of the earlier run's trouble may come while this hub listens.
            Assert.All(late.Heard.Where(one => one.Payload.Length > 0), one => Assert.True(one.Retained, one.Topic));
        }

        link.ShowTroubles([]);
        await early.HearsAsync($"{Root}/$alert/south-wall-rain", "");
        await Until.TrueAsync(
            () =>
            {
                link.ShowTroubles([]); // As each minute.
                return early.Heard.Any(one => one.Topic == $"{Root}/$alert/left-by-an-earlier-run" && one.Payload.Length == 0);
            },
            "the trouble of an earlier run is deleted");
        await stop.CancelAsync();
        await running;
        await early.HearsAsync($"{Root}/$state", "disconnected");
        Assert.Equal(["init", "ready", "disconnected"], early.Heard.Where(one => one.Topic == $"{Root}/$state").Select(one => one.Payload));
        Assert.Equal("", early.Heard.Last(one => one.Topic == $"{Root}/$alert/south-wall-rain").Payload);

        var validator = new HomieValidator("homie", "backyard-sentinel");
        foreach (var (topic, payload, _) in early.Heard) validator.Take(topic, Encoding.UTF8.GetBytes(payload), retained: true);
        Assert.Empty(validator.Faults);
    }

    [Fact]
    public async Task The_goodbye_is_said_though_a_message_before_it_is_never_acknowledged()
    {
        const int Pubrec = 5;
        await using var broker = await EmbeddedBroker.StartAsync();
        using var gag = new Gag(broker.Port, 0);
        using var peer = await Peer.ConnectAsync(broker.Port, "homie/5/#");
        var clock = new FakeTimeProvider();
        var link = new HomieLink(new BrokerOptions { Port = gag.Port }, [South], clock, Logger.None);
        using var stop = new CancellationTokenSource();
        link.Show([new SiteWatch(South, _ => { })]);
        var running = link.RunAsync(stop.Token);
        await peer.HearsAsync($"{Root}/$state", "ready");
        gag.Set(Pubrec);
        link.Show([Judged()]);
        await Until.TrueAsync(() => gag.Swallowed == 1, "the message is sent");
        await stop.CancelAsync();
        await Until.TrueAsync(() => gag.Swallowed == 2, "it is sent again before the goodbye");
        gag.Heal();
        clock.Advance(BrokerPatience.LastStepLimit);
        await running;
        await peer.HearsAsync($"{Root}/$state", "disconnected");
        using var late = await Peer.ConnectAsync(broker.Port, $"{Root}/$state");
        await late.HearsAsync($"{Root}/$state", "disconnected");
        Assert.DoesNotContain(peer.Heard, one => one.Payload == "lost");
    }

    [Fact]
    public async Task A_cut_wire_brings_lost_and_then_init_and_ready_again()
    {
        using var broker = await Mosquitto.StartAsync();
        using var wire = new Wire(broker.Port);
        using var peer = await Peer.ConnectAsync(broker.Port, "homie/5/+/$state");
        var link = new HomieLink(new BrokerOptions { Port = wire.Port, WillDelaySeconds = 0 }, [South], TimeProvider.System, Logger.None);
        using var stop = new CancellationTokenSource();
        link.Show([Judged()]);
        var running = link.RunAsync(stop.Token);
        await peer.HearsAsync($"{Root}/$state", "ready");
        wire.Cut();
        await Until.TrueAsync(() => peer.Heard.Count(one => one.Payload == "ready") == 2, "ready again");
        Assert.Equal(["init", "ready", "lost", "init", "ready"], peer.Heard.Select(one => one.Payload));
        await stop.CancelAsync();
        await running;
    }
}
