using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;

namespace BackyardSentinel.Network;

/// <summary>A name server (RFC 1035) that says of each of its names that it is this computer, where that name's fault lets it.</summary>
internal sealed class NameServer : IDisposable
{
    private const byte Refused = 5;

    private readonly ConcurrentDictionary<string, Name> _names = new(StringComparer.OrdinalIgnoreCase);
    private readonly UdpClient _socket;

    /// <param name="address">Where the system's resolver is told to find it; the port is always 53.</param>
    public NameServer(string address)
    {
        _socket = new UdpClient(new IPEndPoint(IPAddress.Parse(address), 53));
        _ = AnswerAsync();
    }

    /// <summary>A name that only one trial asks for.</summary>
    public Name New(TimeProvider time)
    {
        var name = new Name($"n{_names.Count}.garden.test", time);
        _names[name.Host] = name;
        return name;
    }

    public void Dispose() => _socket.Dispose();

    private async Task AnswerAsync()
    {
        try
        {
            while (true)
            {
                var question = await _socket.ReceiveAsync();
                _ = AnswerAsync(question);
            }
        }
        catch (Exception end) when (end is SocketException or ObjectDisposedException)
        {
            // Closed.
        }
    }

    private async Task AnswerAsync(UdpReceiveResult question)
    {
        List<string> labels = [];
        var end = 12;
        for (; question.Buffer[end] != 0; end += question.Buffer[end] + 1)
            labels.Add(Encoding.ASCII.GetString(question.Buffer, end + 1, question.Buffer[end]));
        if (!_names.TryGetValue(string.Join('.', labels), out var name) || !await name.LetsThroughAsync())
            return;
        try
        {
            await _socket.SendAsync(Answer(question.Buffer, end + 5, name.Fault == LineFault.Refused), question.RemoteEndPoint);
        }
        catch (Exception closed) when (closed is SocketException or ObjectDisposedException)
        {
            // The trial is over.
        }
    }

    /// <summary>The question, and for an IPv4 address (type 1) 127.0.0.1, which holds for no time at all.</summary>
    private static byte[] Answer(byte[] question, int end, bool isRefused)
    {
        byte[] answer = question[end - 3] == 1 && !isRefused ? [0xC0, 12, 0, 1, 0, 1, 0, 0, 0, 0, 0, 4, 127, 0, 0, 1] : [];
        return
        [
            question[0], question[1], 0x81, (byte)(0x80 | (isRefused ? Refused : 0)),
            0, 1, 0, (byte)(answer.Length > 0 ? 1 : 0), 0, 0, 0, 0,
            .. question[12..end], .. answer,
        ];
    }

    /// <summary>One name, and how the server treats it.</summary>
    internal sealed class Name(string host, TimeProvider time) : IFaulty
    {
        private readonly Random _chance = new(7);
        private int _held;

        public string Host => host;

        public LineFault Fault { get; private set; }

        public bool Holds => Volatile.Read(ref _held) > 0;

        public void Set(LineFault fault)
        {
            Volatile.Write(ref _held, 0);
            Fault = fault;
        }

        /// <summary>Whether it is answered, when that is due.</summary>
        public async Task<bool> LetsThroughAsync()
        {
            if (Fault is not (LineFault.BlackHole or LineFault.Latency))
                return true;
            Interlocked.Increment(ref _held);
            if (Fault == LineFault.BlackHole)
                return false;
            await Task.Delay(TimeSpan.FromSeconds(10 * _chance.NextDouble()), time);
            Interlocked.Decrement(ref _held);
            return true;
        }
    }
}
