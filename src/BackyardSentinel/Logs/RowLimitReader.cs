namespace BackyardSentinel.Logs;

/// <summary>Hands text on until one row of it grows beyond all measure: a quote never closed, or no rows at all.</summary>
internal sealed class RowLimitReader(TextReader text) : TextReader
{
    /// <summary>Characters a row may have.</summary>
    public const int LongestRow = 2_000_000;

    private long _sinceRow;

    /// <summary>A row came out; the next one is measured from here.</summary>
    public void RowEnded() => _sinceRow = 0;

    /// <inheritdoc/>
    public override int Read(Span<char> buffer)
    {
        if (_sinceRow > LongestRow)
            throw new NotSupportedException("a row is longer than two million characters; a quote that is never closed does this");
        var length = text.Read(buffer);
        _sinceRow += length;
        return length;
    }

    /// <inheritdoc/>
    public override int Read(char[] buffer, int index, int count) => Read(buffer.AsSpan(index, count));

    /// <inheritdoc/>
    protected override void Dispose(bool disposing)
    {
        if (disposing)
            text.Dispose();
        base.Dispose(disposing);
    }
}
