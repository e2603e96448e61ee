namespace BackyardSentinel.Delivery;

/// <summary>Counts the answers that have come back.</summary>
internal sealed class CountingHandler(HttpMessageHandler inner) : DelegatingHandler(inner)
{
    private int _answers;

    public int Answers => Volatile.Read(ref _answers);

    protected override async Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken)
    {
        var response = await base.SendAsync(request, cancellationToken);
        Interlocked.Increment(ref _answers);
        return response;
    }
}

/// <summary>Answers every request with a body that never ends, and counts what is read of it.</summary>
internal sealed class EndlessHandler : HttpMessageHandler
{
    public EndlessStream Body { get; } = new();

    protected override Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken) =>
        Task.FromResult(new HttpResponseMessage { Content = new StreamContent(Body) });
}

/// <summary>A stream without end.</summary>
internal sealed class EndlessStream : Stream
{
    public long BytesRead { get; private set; }

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override int Read(byte[] buffer, int offset, int count)
    {
        Array.Fill(buffer, (byte)'x', offset, count);
        BytesRead += count;
        return count;
    }

    public override void Flush() => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
}
