namespace BackyardSentinel.Logs;

/// <summary>The fields of one row, as text.</summary>
/// <param name="text">The fields one behind the other, a character between them.</param>
/// <param name="ends">Where each ends.</param>
/// <param name="isBlank">The row has nothing but blanks.</param>
internal readonly ref struct LogFields(ReadOnlySpan<char> text, ReadOnlySpan<int> ends, bool isBlank)
{
    private readonly ReadOnlySpan<char> _text = text;
    private readonly ReadOnlySpan<int> _ends = ends;

    /// <summary>How many there are.</summary>
    public int Count => _ends.Length;

    /// <summary>The row has nothing but blanks.</summary>
    public bool IsBlank { get; } = isBlank;

    /// <summary>A field by its place, from 0.</summary>
    public ReadOnlySpan<char> this[int place] => _text[(place == 0 ? 0 : _ends[place - 1] + 1).._ends[place]];
}
