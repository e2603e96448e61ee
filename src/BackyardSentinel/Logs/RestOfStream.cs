namespace BackyardSentinel.Logs;

/// <summary>What was read of a stream already, and then the stream.</summary>
/// <param name="read">What was read.</param>
/// <param name="stream">What follows.</param>
internal sealed class RestOfStream(ReadOnlyMemory<byte> read, Stream stream) : Stream
{
    private ReadOnlyMemory<byte> _read = read;

    /// <inheritdoc/>
    public override bool CanRead => true;

    /// <inheritdoc/>
    public override bool CanSeek => false;

    /// <inheritdoc/>
    public override bool CanWrite => false;

    /// <inheritdoc/>
    public override long Length => throw new NotSupportedException();

    /// <inheritdoc/>
    public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

    /// <inheritdoc/>
    public override int Read(Span<byte> buffer)
    {
        if (_read.IsEmpty)
            return stream.Read(buffer);
        var length = Math.Min(buffer.Length, _read.Length);
        _read.Span[..length].CopyTo(buffer);
        _read = _read[length..];
        return length;
    }

    /// <inheritdoc/>
    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    /// <inheritdoc/>
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void SetLength(long value) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    /// <inheritdoc/>
    public override void Flush()
    {
    }
}
