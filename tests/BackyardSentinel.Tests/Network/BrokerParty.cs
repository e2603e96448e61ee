using System.Collections.Concurrent;

namespace BackyardSentinel.Network;

/// <summary>The broker: sensors speak to it over a line of their own that is good.</summary>
internal sealed class BrokerParty : LineParty
{
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentQueue<string> _heard = [];
    private readonly EmbeddedBroker _broker;
    private readonly Peer _garden;
    private readonly MqttLink _link;
    private readonly CellTime _time;
    private Task _running = Task.CompletedTask;
    private int _sent;

    private BrokerParty(EmbeddedBroker broker, Peer garden, BrokerOptions options, CellTime time)
    {
        (_broker, _garden, _time) = (broker, garden, time);
        _link = new MqttLink(
            options, ["yard/t"],
            async (message, ct) =>
            {
                _heard.Enqueue(Encoding.UTF8.GetString(message.Payload.Span));
                await message.AcknowledgeAsync(ct);
            },
            time.Time, Log.Logger);
    }

    public override string WellAgain => "Connected to the broker";

    public override bool IsRight =>
        _link.IsUp
        && Enumerable.Range(1, _sent).All(number => _heard.Contains($"{number}"))
        && _garden.Heard.LastOrDefault(one => one.Topic == "sentinel/yard/weather").Payload == (_sent == 0 ? null : $"{_sent}");

    public override int Repeated => _heard.Count - _heard.Distinct().Count();

    public static async Task<BrokerParty> OfAsync(EmbeddedBroker broker, BrokerOptions options, CellTime time) =>
        new(broker, await Peer.ConnectAsync(broker.Port, "sentinel/yard/#"), options, time);

    public override Task StartAsync()
    {
        _running = _link.RunAsync(_stop.Token);
        return Task.CompletedTask;
    }

    public override async Task SendAsync(int number)
    {
        _sent = number;
        _link.Publish(new OutgoingMessage("sentinel/yard/weather", Encoding.UTF8.GetBytes($"{number}")));
        await _garden.PublishAsync("yard/t", $"{number}");
    }

    public override async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _time.PassAsync(TimeSpan.FromMinutes(1), () => _running.IsCompleted);
        await _running;
        _stop.Dispose();
        _garden.Dispose();
        await _broker.DisposeAsync();
        await base.DisposeAsync();
    }
}
