using BackyardSentinel.Garden;

namespace BackyardSentinel.Weather;

/// <summary>
/// Rows of a log one behind the other, momentary ones of the preferred sensor of each quantity, column by column: nearly all rows of
/// a long log lie so, and are taken at once.
/// </summary>
/// <param name="ticks">Their times, UTC ticks.</param>
/// <param name="columns">The quantities of which there is a column.</param>
/// <param name="values">The columns, in the order of <see cref="Quantity"/>; NaN: there is no value.</param>
/// <param name="stride">How far one column's first value lies from the next one's.</param>
public readonly ref struct RowRun(
    ReadOnlySpan<long> ticks, ReadOnlySpan<Quantity> columns, ReadOnlySpan<double> values, int stride)
{
    private readonly ReadOnlySpan<double> _values = values;

    /// <summary>Their times, UTC ticks.</summary>
    public ReadOnlySpan<long> Ticks { get; } = ticks;

    /// <summary>The quantities of which there is a column.</summary>
    public ReadOnlySpan<Quantity> Columns { get; } = columns;

    /// <summary>How many there are.</summary>
    public int Count => Ticks.Length;

    /// <summary>A quantity's column.</summary>
    public ReadOnlySpan<double> Of(Quantity quantity) => _values.Slice((int)quantity * stride, Count);

    /// <summary>The first of them.</summary>
    /// <param name="count">So many.</param>
    public RowRun First(int count) => new(Ticks[..count], Columns, _values, stride);

    /// <summary>Those behind the first.</summary>
    /// <param name="count">So many are left out.</param>
    public RowRun From(int count) => new(Ticks[count..], Columns, _values[count..], stride);
}
