using System.Net;
using System.Net.Sockets;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// A wire to the broker that lets everything through but packets of one type on their way to the client, or from it: a
/// broker that takes what it is given and says nothing, a client whose word gets lost. Packet types as in MQTT 5, 2.1.2: CONNACK 2,
/// PUBACK 4, SUBACK 9.
/// </summary>
internal sealed class Gag : IDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly int _brokerPort;
    private readonly bool _fromClient;
    private volatile int _type;
    private int _swallowed, _connections;

    public Gag(int brokerPort, int type, bool fromClient = false)
    {
        (_brokerPort, _type, _fromClient) = (brokerPort, type, fromClient);
        _listener.Start();
        _ = AcceptAsync();
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    public int Swallowed => Volatile.Read(ref _swallowed);

    public int Connections => Volatile.Read(ref _connections);

    /// <summary>The packet is not kept back but broken off in the middle, and nothing follows it.</summary>
    public bool Half { get; init; }

    public void Set(int type) => _type = type;

    public void Heal() => _type = 0;

    public void Dispose() => _listener.Stop();

    private async Task AcceptAsync()
    {
        try
        {
            while (true)
            {
                var near = await _listener.AcceptTcpClientAsync();
                var far = new TcpClient();
                await far.ConnectAsync(IPAddress.Loopback, _brokerPort);
                Interlocked.Increment(ref _connections);
                _ = UntilEndAsync(near, far, () => PassAsync(near, far, _fromClient));
                _ = UntilEndAsync(near, far, () => PassAsync(far, near, !_fromClient));
            }
        }
        catch (Exception end) when (end is SocketException or ObjectDisposedException)
        {
            // Stopped.
        }
    }

    private Task PassAsync(TcpClient from, TcpClient to, bool isGagged) =>
        isGagged ? PassPacketsAsync(from.GetStream(), to.GetStream()) : from.GetStream().CopyToAsync(to.GetStream());

    private async Task PassPacketsAsync(NetworkStream from, NetworkStream to)
    {
        var one = new byte[1];
        while (true)
        {
            List<byte> packet = [];
            await from.ReadExactlyAsync(one);
            packet.Add(one[0]);
            var (length, shift) = (0, 0);
            do
            {
                await from.ReadExactlyAsync(one);
                packet.Add(one[0]);
                length |= (one[0] & 0x7F) << shift;
                shift += 7;
            }
            while ((one[0] & 0x80) != 0);

            var body = new byte[length];
            await from.ReadExactlyAsync(body);
            if (packet[0] >> 4 == _type)
            {
                if (Half)
                    await to.WriteAsync(packet.Concat(body).Take((packet.Count + body.Length) / 2).ToArray());
                Interlocked.Increment(ref _swallowed);
                // What comes after half a packet would be taken for its rest.
                for (var rest = new byte[4096]; Half;)
                {
                    if (await from.ReadAsync(rest) == 0)
                        return;
                }

                continue;
            }

            await to.WriteAsync(packet.Concat(body).ToArray());
        }
    }

    private static async Task UntilEndAsync(TcpClient near, TcpClient far, Func<Task> work)
    {
        try
        {
            await work();
        }
        catch (Exception end) when (end is IOException or ObjectDisposedException or InvalidOperationException or SocketException)
        {
            // One side has gone.
        }
        finally
        {
            near.Close();
            far.Close();
        }
    }
}
