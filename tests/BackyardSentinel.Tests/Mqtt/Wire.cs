using System.Net;
using System.Net.Sockets;

namespace BackyardSentinel.Mqtt;

/// <summary>A wire to the broker that can be cut in mid-sentence.</summary>
internal sealed class Wire : IDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly List<TcpClient> _ends = [];
    private readonly int _brokerPort;

    public Wire(int brokerPort)
    {
        _brokerPort = brokerPort;
        _listener.Start();
        _ = AcceptAsync();
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    public void Cut()
    {
        lock (_ends)
        {
            foreach (var end in _ends) end.Close();
            _ends.Clear();
        }
    }

    public void Dispose()
    {
        _listener.Stop();
        Cut();
    }

    private async Task AcceptAsync()
    {
        try
        {
            while (true)
            {
                var near = await _listener.AcceptTcpClientAsync();
                var far = new TcpClient();
                await far.ConnectAsync(IPAddress.Loopback, _brokerPort);
                lock (_ends) _ends.AddRange([near, far]);
                _ = CopyAsync(near, far);
                _ = CopyAsync(far, near);
            }
        }
        catch (Exception end) when (end is SocketException or ObjectDisposedException)
        {
            // Stopped.
        }
    }

    private static async Task CopyAsync(TcpClient from, TcpClient to)
    {
        try
        {
            await from.GetStream().CopyToAsync(to.GetStream());
        }
        catch (Exception end) when (end is IOException or ObjectDisposedException or InvalidOperationException)
        {
            // Cut.
        }
        finally
        {
            from.Close();
            to.Close();
        }
    }
}
