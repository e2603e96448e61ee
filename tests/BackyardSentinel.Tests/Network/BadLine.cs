using System.Net;
using System.Net.Security;
using System.Net.Sockets;
using System.Security.Authentication;

namespace BackyardSentinel.Network;

/// <summary>
/// A line to a server on this computer that can be made bad. With certificates it is the encrypted end of that line, too.
/// </summary>
internal sealed class BadLine : IFaulty, IDisposable
{
    private const int LongestCut = 512, LongestAnswer = 32, BytesATenth = 100;

    private readonly int _farPort;
    private readonly TimeProvider _time;
    private readonly TestAuthority? _authority;
    private readonly Random _chance = new(7);
    private readonly HashSet<Carried> _carried = [];
    private TcpListener _listener = new(IPAddress.Loopback, 0);
    private LineFault _fault;
    private int _cut = 1, _held, _connections;

    /// <param name="farPort">The server's port.</param>
    /// <param name="time">By whose clock what is late is late.</param>
    /// <param name="authority">Makes the certificates; <c>null</c>: the line is not encrypted.</param>
    public BadLine(int farPort, TimeProvider time, TestAuthority? authority = null)
    {
        (_farPort, _time, _authority) = (farPort, time, authority);
        _listener.Start();
        Port = ((IPEndPoint)_listener.LocalEndpoint).Port;
        _ = AcceptAsync(_listener);
    }

    public int Port { get; }

    /// <summary>How many connections were begun.</summary>
    public int Connections => Volatile.Read(ref _connections);

    public bool Holds => Volatile.Read(ref _held) > 0;

    public void Set(LineFault fault)
    {
        lock (_carried)
        {
            var was = _fault;
            _fault = fault;
            if (fault is LineFault.Refused)
                _listener.Stop();
            // A fault of one end shows at the next connection, so the one that stands is ended.
            if (fault is LineFault.Refused or LineFault.Reset or LineFault.CertificateExpired or LineFault.CertificateOfAnother)
                BreakOff();
            if (was is LineFault.Refused && fault is not LineFault.Refused)
            {
                _listener = new TcpListener(IPAddress.Loopback, Port);
                _listener.Start();
                _ = AcceptAsync(_listener);
            }
        }
    }

    public void Dispose()
    {
        _listener.Stop();
        BreakOff();
    }

    /// <summary>Ends the connections that stand.</summary>
    public void BreakOff()
    {
        lock (_carried)
            foreach (var one in _carried.ToList()) one.Break();
    }

    private async Task AcceptAsync(TcpListener listener)
    {
        try
        {
            while (true)
            {
                var near = await listener.AcceptTcpClientAsync();
                Interlocked.Increment(ref _connections);
                _ = CarryAsync(near);
            }
        }
        catch (Exception end) when (end is SocketException or ObjectDisposedException or InvalidOperationException)
        {
            // Stopped.
        }
    }

    private async Task CarryAsync(TcpClient near)
    {
        Carried one;
        lock (_carried)
        {
            one = new Carried(near, _cut, cutsAnswer: _connections % 2 == 0);
            _carried.Add(one);
            if (_fault == LineFault.CutOff)
                _cut = _cut < LongestCut ? _cut * 2 : 1;
        }

        try
        {
            if (_fault == LineFault.Reset)
                return;
            var stream = await NearAsync(near);
            await one.Far.ConnectAsync(IPAddress.Loopback, _farPort);
            var far = one.Far.GetStream();
            await Task.WhenAny(PassAsync(one, stream, far, isAnswer: false), AnswerAsync(one, far, stream));
        }
        catch (Exception end) when (end is IOException or SocketException or ObjectDisposedException or InvalidOperationException
            or AuthenticationException)
        {
            // One side has gone, or does not like the certificate.
        }
        finally
        {
            lock (_carried)
            {
                one.Break();
                _carried.Remove(one);
                if (one.IsDead)
                    Interlocked.Decrement(ref _held);
            }
        }
    }

    private async Task<Stream> NearAsync(TcpClient near)
    {
        near.NoDelay = true;
        if (_authority is null)
            return near.GetStream();
        var encrypted = new SslStream(near.GetStream());
        await encrypted.AuthenticateAsServerAsync(_fault switch
        {
            LineFault.CertificateExpired => _authority.Expired,
            LineFault.CertificateOfAnother => _authority.OfAnother,
            _ => _authority.Good,
        });
        return encrypted;
    }

    /// <summary>A black hole does not say either that the far end has gone.</summary>
    private async Task AnswerAsync(Carried one, Stream far, Stream near)
    {
        await PassAsync(one, far, near, isAnswer: true);
        if (Swallows(one))
            await Task.Delay(Timeout.InfiniteTimeSpan, TimeProvider.System);
    }

    private async Task PassAsync(Carried one, Stream from, Stream to, bool isAnswer)
    {
        var bytes = new byte[16 * 1024];
        var before = Task.CompletedTask;
        while (await from.ReadAsync(bytes) is > 0 and var count)
        {
            var part = bytes[..count];
            if (Swallows(one))
                continue;
            switch (_fault)
            {
                case LineFault.OneByteSlices:
                    foreach (var single in part) await to.WriteAsync(new[] { single });
                    break;
                case LineFault.Slow:
                    var (began, due) = (_time.GetTimestamp(), TimeSpan.Zero);
                    foreach (var tenth in part.Chunk(BytesATenth))
                    {
                        due += TimeSpan.FromSeconds(0.1);
                        if (due - _time.GetElapsedTime(began) is var late && late > TimeSpan.Zero)
                            await LateAsync(late);
                        await to.WriteAsync(tenth);
                    }

                    break;
                case LineFault.CutOff:
                    var some = one.Take(count, isAnswer);
                    await to.WriteAsync(part.AsMemory(0, some));
                    if (some < count)
                        return;
                    break;
                case LineFault.Latency:
                    before = AfterAsync(before, LateAsync(TimeSpan.FromSeconds(10 * NextChance())), part);
                    break;
                default:
                    before = AfterAsync(before, Task.CompletedTask, part);
                    await before;
                    break;
            }
        }

        await before;

        async Task AfterAsync(Task earlier, Task late, byte[] part)
        {
            await earlier;
            await late;
            await to.WriteAsync(part);
        }
    }

    private bool Swallows(Carried one)
    {
        lock (_carried)
        {
            if (_fault == LineFault.BlackHole && !one.IsDead)
            {
                one.IsDead = true;
                Interlocked.Increment(ref _held);
            }

            return one.IsDead;
        }
    }

    private double NextChance()
    {
        lock (_carried) return _chance.NextDouble();
    }

    private async Task LateAsync(TimeSpan by)
    {
        Interlocked.Increment(ref _held);
        await Task.Delay(by, _time);
        Interlocked.Decrement(ref _held);
    }

    private sealed class Carried(TcpClient near, int cut, bool cutsAnswer)
    {
        private int _left = cutsAnswer ? Math.Min(cut, LongestAnswer) : cut;

        public TcpClient Far { get; } = new() { NoDelay = true };

        public bool IsDead { get; set; }

        /// <summary>So many of these bytes a line that cuts off lets through.</summary>
        public int Take(int count, bool isAnswer)
        {
            if (isAnswer != cutsAnswer)
                return count;
            var some = Math.Min(count, _left);
            _left -= some;
            return some;
        }

        public void Break()
        {
            foreach (var end in new[] { near, Far })
            {
                try
                {
                    if (end.Client is { Connected: true } socket)
                        socket.LingerState = new LingerOption(true, 0);
                }
                catch (SocketException)
                {
                    // It has just gone by itself.
                }

                end.Close();
            }
        }
    }
}
