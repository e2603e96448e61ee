using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using System.Text;
using BackyardSentinel.Wording;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using MQTTnet.Server;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// A broker inside the program for the first run and the demo. It forgets everything when it stops: sessions, queues and
/// retained messages. For real use run a broker of its own.
/// </summary>
public sealed class EmbeddedBroker : IAsyncDisposable
{
    /// <summary>More connections than sensors a garden has; each may make the broker hold a message and a queue.</summary>
    private const int MostConnections = 200;

    private readonly MqttServer _server;
    private readonly (byte[] User, byte[] Password)? _login;
    private readonly ILogger? _log;
    private readonly DeliveryOnce _once = new();
    private readonly ConcurrentDictionary<string, bool> _told = new(StringComparer.Ordinal);

    private EmbeddedBroker(MqttServer server, (byte[] User, byte[] Password)? login, ILogger? log) =>
        (_server, _login, _log) = (server, login, log);

    /// <summary>The port it listens on.</summary>
    public int Port { get; private set; }

    /// <summary>Starts a broker for this computer alone, which asks for no login.</summary>
    /// <param name="port">The port; 0 takes a free one.</param>
    /// <exception cref="LinkException">The port cannot be had.</exception>
    public static Task<EmbeddedBroker> StartAsync(int port = 0) => StartAsync(new BrokerOptions { Embedded = true, Port = port }, null);

    /// <summary>Starts a broker. With a user name and a password it asks each client for them.</summary>
    /// <param name="broker">Its port, who reaches it, and the login, with the password fetched.</param>
    /// <param name="log">Told of clients with a wrong login; <c>null</c>: nobody is.</param>
    /// <exception cref="LinkException">The port cannot be had, or it would be open to the network without a login.</exception>
    public static async Task<EmbeddedBroker> StartAsync(BrokerOptions broker, ILogger? log)
    {
        ArgumentNullException.ThrowIfNull(broker);
        (byte[], byte[])? login = broker is { Username: { Length: > 0 } user, Password.Plain: { Length: > 0 } password }
            ? (Encoding.UTF8.GetBytes(user), Encoding.UTF8.GetBytes(password))
            : null;
        if (broker.EmbeddedInNetwork && login is null)
            throw new LinkException(
                $"The embedded broker does not open itself to the home network without a login. Give it username and password.");
        var options = new MqttServerOptionsBuilder()
            .WithDefaultEndpoint()
            .WithDefaultEndpointBoundIPAddress(broker.EmbeddedInNetwork ? IPAddress.Any : IPAddress.Loopback)
            .WithDefaultEndpointBoundIPV6Address(IPAddress.None)
            .WithDefaultEndpointPort(broker.Port)
            .WithPersistentSessions()
            .WithMaxPendingMessagesPerClient(10_000)
            .WithPendingMessagesOverflowStrategy(MqttPendingMessagesOverflowStrategy.DropNewMessage)
            .Build();
        var started = new EmbeddedBroker(new MqttServerFactory().CreateMqttServer(options, [new NamingAdapter()]), login, log);
        started._server.ValidatingConnectionAsync += started.LetInAsync;
        started._server.InterceptingInboundPacketAsync += DeliveryOnce.ComeAsync;
        started._server.InterceptingPublishAsync += DeliveryOnce.PassOnAsync;
        started._server.InterceptingOutboundPacketAsync += started._once.GoAsync;
        try
        {
            await started._server.StartAsync().ConfigureAwait(false);
        }
        catch (SocketException failure)
        {
            started._server.Dispose();
            throw new LinkException(
                $"The embedded broker cannot listen on port {broker.Port}: {new English(failure.Message)}. Stop the program that uses "
                    + $"the port, "
                    + $"or name another one in the garden file.",
                inner: failure);
        }

        // Where any port would do, the server has put there the one that it got.
        started.Port = options.DefaultEndpointOptions.Port;
        return started;
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _server.StopAsync(new MqttServerStopOptionsBuilder().Build()).ConfigureAwait(false);
        _server.Dispose();
    }

    /// <summary>
    /// Who has the login is let in. A client that gives no id asks for one (MQTT 5, 3.1.3.1) and is told it; those of 3.1.1 go by
    /// <see cref="NamingAdapter"/>.
    /// </summary>
    private async Task LetInAsync(ValidatingConnectionEventArgs args)
    {
        if (!HasLogin(args))
        {
            args.ReasonCode = MqttConnectReasonCode.BadUserNameOrPassword;
            var where = (args.RemoteEndPoint as IPEndPoint)?.Address.ToString() ?? "";
            if (_told.Count < MostConnections && _told.TryAdd(where, true))
                _log?.Warning(
                    "The embedded broker has not let in a client at {Address}: user name or password is wrong. It is said once.", where);
        }
        else if ((await _server.GetClientsAsync().ConfigureAwait(false)).Count >= MostConnections)
        {
            args.ReasonCode = MqttConnectReasonCode.QuotaExceeded;
        }
        else if (string.IsNullOrEmpty(args.ClientId) && args.ProtocolVersion == MqttProtocolVersion.V500)
        {
            args.AssignedClientIdentifier = NamingAdapter.GuestName();
        }
    }

    /// <summary>Both are compared whole, so that the time tells nothing of how much of them was right.</summary>
    private bool HasLogin(ValidatingConnectionEventArgs args) =>
        _login is not { } login
        || (CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(args.UserName ?? ""), login.User)
            & CryptographicOperations.FixedTimeEquals(args.RawPassword ?? [], login.Password));
}
