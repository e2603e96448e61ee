using System.Net;
using System.Net.Sockets;
using MQTTnet.Formatter;
using MQTTnet.Server;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// A broker inside the program for the first run and the demo. It listens on this machine only and forgets everything
/// when it stops: sessions, queues and retained messages. For real use run a broker of its own.
/// </summary>
public sealed class EmbeddedBroker : IAsyncDisposable
{
    private readonly MqttServer _server;

    private EmbeddedBroker(MqttServer server, int port) => (_server, Port) = (server, port);

    /// <summary>The port it listens on.</summary>
    public int Port { get; }

    /// <summary>Starts a broker.</summary>
    /// <param name="port">The port; 0 takes a free one.</param>
    /// <exception cref="LinkException">The port cannot be had.</exception>
    public static async Task<EmbeddedBroker> StartAsync(int port = 0)
    {
        var options = new MqttServerOptionsBuilder()
            .WithDefaultEndpoint()
            .WithDefaultEndpointBoundIPAddress(IPAddress.Loopback)
            .WithDefaultEndpointBoundIPV6Address(IPAddress.None)
            .WithDefaultEndpointPort(port)
            .WithPersistentSessions()
            .WithMaxPendingMessagesPerClient(10_000)
            .WithPendingMessagesOverflowStrategy(MqttPendingMessagesOverflowStrategy.DropNewMessage)
            .Build();
        var server = new MqttServerFactory().CreateMqttServer(options, [new NamingAdapter()]);
        server.ValidatingConnectionAsync += NameAsync;
        try
        {
            await server.StartAsync().ConfigureAwait(false);
        }
        catch (SocketException failure)
        {
            server.Dispose();
            throw new LinkException(
                $"The embedded broker cannot listen on port {port}: {failure.Message}. Stop the program that uses the port, "
                    + "or name another one in the garden file.",
                inner: failure);
        }

        // Where any port would do, the server has put there the one that it got.
        return new EmbeddedBroker(server, options.DefaultEndpointOptions.Port);
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _server.StopAsync(new MqttServerStopOptionsBuilder().Build()).ConfigureAwait(false);
        _server.Dispose();
    }

    /// <summary>
    /// A client that gives no id asks for one (MQTT 5, 3.1.3.1) and is told it; those of 3.1.1 go by <see cref="NamingAdapter"/>.
    /// </summary>
    private static Task NameAsync(ValidatingConnectionEventArgs args)
    {
        if (string.IsNullOrEmpty(args.ClientId) && args.ProtocolVersion == MqttProtocolVersion.V500)
            args.AssignedClientIdentifier = NamingAdapter.GuestName();
        return Task.CompletedTask;
    }
}
