using System.Buffers.Binary;
using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;

namespace BackyardSentinel.Mqtt;

/// <summary>
/// The wire between a client and its broker, which writes down what goes over it: the messages that the broker delivers, and for
/// which of them the client's acknowledgement came out. So it is known what was promised, whatever becomes of either end.
/// </summary>
/// <remarks>Packets as in MQTT 5.0, 2.1 and 3.3; QoS 1 without topic aliases, as no client of these tests offers any.</remarks>
internal sealed class Wiretap : IDisposable
{
    private const int Publish = 3, Puback = 4;
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly int _brokerPort;

    public Wiretap(int brokerPort)
    {
        _brokerPort = brokerPort;
        _listener.Start();
        _ = AcceptAsync();
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    /// <summary>Payloads that the broker has sent to the end, each once.</summary>
    public ConcurrentDictionary<string, byte> Delivered { get; } = [];

    /// <summary>Payloads for which an acknowledgement came out, each once.</summary>
    public ConcurrentDictionary<string, byte> Acknowledged { get; } = [];

    public void Dispose() => _listener.Stop();

    private async Task AcceptAsync()
    {
        try
        {
            while (true)
            {
                var near = await _listener.AcceptTcpClientAsync();
                _ = ConnectAsync(near);
            }
        }
        catch (Exception end) when (end is SocketException or ObjectDisposedException)
        {
            // Stopped.
        }
    }

    private async Task ConnectAsync(TcpClient near)
    {
        var far = new TcpClient();
        try
        {
            await far.ConnectAsync(IPAddress.Loopback, _brokerPort);
            var inFlight = new ConcurrentDictionary<int, string>();
            await Task.WhenAny(
                PassAsync(far.GetStream(), near.GetStream(), Publish, packet => Sent(packet, inFlight)),
                PassAsync(near.GetStream(), far.GetStream(), Puback, packet => Answered(packet, inFlight)));
        }
        catch (Exception end) when (end is IOException or ObjectDisposedException or InvalidOperationException or SocketException)
        {
            // The broker is away, or one side has gone.
        }
        finally
        {
            near.Close();
            far.Close();
        }
    }

    private static async Task PassAsync(NetworkStream from, NetworkStream to, int type, Action<byte[]> heard)
    {
        try
        {
            var one = new byte[1];
            while (true)
            {
                List<byte> head = [];
                await from.ReadExactlyAsync(one);
                head.Add(one[0]);
                var (length, shift) = (0, 0);
                do
                {
                    await from.ReadExactlyAsync(one);
                    head.Add(one[0]);
                    length |= (one[0] & 0x7F) << shift;
                    shift += 7;
                }
                while ((one[0] & 0x80) != 0);

                byte[] packet = [.. head, .. new byte[length]];
                await from.ReadExactlyAsync(packet.AsMemory(head.Count));
                // Written down before it goes on: an acknowledgement cannot be older than its message.
                if (packet[0] >> 4 == type)
                    heard([packet[0], .. packet.AsSpan(head.Count)]);
                await to.WriteAsync(packet);
            }
        }
        catch (Exception end) when (end is IOException or ObjectDisposedException or InvalidOperationException or SocketException)
        {
            // One side has gone.
        }
    }

    private void Sent(byte[] packet, ConcurrentDictionary<int, string> inFlight)
    {
        var body = packet.AsSpan(1);
        var topic = BinaryPrimitives.ReadUInt16BigEndian(body);
        body = body[(2 + topic)..];
        if ((packet[0] & 0b0110) == 0)
            return; // QoS 0 has no number and no acknowledgement.
        var id = BinaryPrimitives.ReadUInt16BigEndian(body);
        body = body[2..];
        var (properties, shift, at) = (0, 0, 0);
        do
        {
            properties |= (body[at] & 0x7F) << shift;
            shift += 7;
        }
        while ((body[at++] & 0x80) != 0);

        var payload = Encoding.UTF8.GetString(body[(at + properties)..]);
        inFlight[id] = payload;
        Delivered[payload] = 0;
    }

    private void Answered(byte[] packet, ConcurrentDictionary<int, string> inFlight)
    {
        if (inFlight.TryRemove(BinaryPrimitives.ReadUInt16BigEndian(packet.AsSpan(1)), out var payload))
            Acknowledged[payload] = 0;
    }
}
