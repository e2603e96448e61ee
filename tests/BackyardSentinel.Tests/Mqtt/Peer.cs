using System.Collections.Concurrent;
using System.Diagnostics;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;

namespace BackyardSentinel.Mqtt;

/// <summary>Another client: a sensor that publishes, or a hub that listens.</summary>
internal sealed class Peer : IDisposable
{
    private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();

    public ConcurrentQueue<(string Topic, string Payload, bool Retained)> Heard { get; } = [];

    /// <summary>After how many seconds the broker would have dropped what came last on each topic; 0: never.</summary>
    public ConcurrentDictionary<string, uint> ExpirySeconds { get; } = [];

    public static Task<Peer> ConnectAsync(int port, params string[] topics) => ConnectAsync(port, null, topics);

    public static async Task<Peer> ConnectAsync(int port, (string User, string Password)? login, params string[] topics)
    {
        var peer = new Peer();
        peer._client.ApplicationMessageReceivedAsync += args =>
        {
            var message = args.ApplicationMessage;
            peer.ExpirySeconds[message.Topic] = message.MessageExpiryInterval;
            peer.Heard.Enqueue((message.Topic, Encoding.UTF8.GetString(message.Payload), message.Retain));
            return Task.CompletedTask;
        };
        var options = new MqttClientOptionsBuilder().WithProtocolVersion(MqttProtocolVersion.V500)
            // By the library's own 8 kB a large message takes a tenth of a second.
            .WithTcpServer("127.0.0.1", port).WithTcpServer(tcp => tcp.BufferSize = 1 << 18)
            .WithClientId("peer-" + Guid.NewGuid().ToString("N")[..8]);
        if (login is { } known)
            options.WithCredentials(known.User, known.Password);
        Assert.Equal(MqttClientConnectResultCode.Success, (await peer._client.ConnectAsync(options.Build())).ResultCode);
        foreach (var topic in topics) await peer._client.SubscribeAsync(topic, MqttQualityOfServiceLevel.AtLeastOnce);
        return peer;
    }

    public Task PublishAsync(string topic, string payload, bool retain = false) =>
        _client.PublishStringAsync(topic, payload, MqttQualityOfServiceLevel.AtLeastOnce, retain);

    public Task HearsAsync(string topic, string part) =>
        Until.TrueAsync(
            () => Heard.Any(one => one.Topic == topic && one.Payload.Contains(part, StringComparison.Ordinal)),
            $"{part} on {topic}");

    public void Dispose() => _client.Dispose();
}

internal static class Until
{
    /// <summary>Waits for a condition. The limit is there for what never comes; it is no measure of speed.</summary>
    public static async Task TrueAsync(Func<bool> condition, string what, int seconds = 180)
    {
        var waiting = Stopwatch.StartNew();
        while (!condition())
        {
            if (waiting.Elapsed > TimeSpan.FromSeconds(seconds))
                Assert.Fail($"Not within {seconds} s: {what}.");
            await Task.Delay(10, TestContext.Current.CancellationToken);
        }
    }
}
