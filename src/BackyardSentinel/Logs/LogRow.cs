using System.Diagnostics.CodeAnalysis;
using System.Runtime.CompilerServices;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Logs;

/// <summary>One row of a recorded log in canonical units; a missing value is <c>null</c>.</summary>
public struct LogRow
{
    // In here a missing value is NaN, which no log can hold: rows are copied often, and a nullable is twice as large.
    private Slots _values;

    /// <summary>Begins a row in place; all its values are missing.</summary>
    /// <returns>The place of the values, in the order of the quantities.</returns>
    [UnscopedRef]
    internal Span<double> Begin()
    {
        Span<double> values = _values;
        values.Fill(double.NaN);
        return values;
    }

    /// <summary>Gives the row its place.</summary>
    internal void Stamp(long line, DateTimeOffset time, TimeSpan period) => (Line, Time, Period) = (line, time, period);

    /// <summary>Takes a value; NaN: it is missing.</summary>
    internal void Set(Quantity quantity, double value) => _values[(int)quantity] = value;

    /// <summary>Line in the file, 1-based, the header being line 1.</summary>
    public long Line { get; private set; }

    /// <summary>The row's moment, or the start of the time it describes, UTC.</summary>
    public DateTimeOffset Time { get; private set; }

    /// <summary>How long it describes; zero for a momentary row.</summary>
    public TimeSpan Period { get; internal set; }

    /// <summary>The value of a quantity.</summary>
    public readonly double? this[Quantity quantity] => _values[(int)quantity] is var value && double.IsNaN(value) ? null : value;

    /// <summary>The values in the order of the quantities; NaN: there is none.</summary>
    [UnscopedRef]
    public readonly ReadOnlySpan<double> Values => _values;

    [InlineArray(Quantities.Count)]
    private struct Slots
    {
        private double _first;
    }
}
