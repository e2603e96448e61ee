using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using BackyardSentinel.Units;

namespace BackyardSentinel.Logs;

/// <summary>
/// Takes rows of the form that fills logs straight from their bytes: the time whole and in UTC, the values plain decimals or missing.
/// All others are left to those who know more forms.
/// </summary>
internal sealed class PlainRow
{
    /// <summary>What <see cref="TakeShort"/> wants to see: a row with its end, and what is read with its last bytes.</summary>
    public const int Window = Reach + sizeof(ulong);

    private const int Reach = 64;

    /// <summary>Bytes below this one are no part of a plain field: what ends a line, a space, a quote.</summary>
    private const byte LeastOfField = (byte)'#';

    private readonly Field[] _fields;
    private readonly (int Quantity, Unit Unit)[] _converted;
    private readonly int _unused;
    private readonly byte _separator;

    private PlainRow(LogLayout layout, char separator, int fieldCount)
    {
        _separator = (byte)separator;
        _fields = new Field[1 + layout.Columns.Max(column => Math.Max(column.Place, layout.Time))];
        _unused = fieldCount - _fields.Length;
        _fields[layout.Time] = new Field(Holds.Time, 0);
        foreach (var column in layout.Columns)
            _fields[column.Place] = new Field(Holds.Value, (int)column.Quantity);
        _converted = [.. layout.Columns.Where(column => column.Unit is not null).Select(column => ((int)column.Quantity, column.Unit!))];
    }

    private enum Holds
    {
        Nothing,
        Time,
        Value,
    }

    /// <summary>Learns where the values stand.</summary>
    /// <param name="layout">The columns.</param>
    /// <param name="separator">What stands between them.</param>
    /// <param name="fieldCount">How many names the header has.</param>
    /// <returns><c>null</c>: no row of such a log is plain.</returns>
    public static PlainRow? Of(LogLayout layout, char separator, int fieldCount)
    {
        var places = layout.Columns.Select(column => column.Place).Append(layout.Time).ToList();
        return layout.TimeOfDay < 0 && places.Distinct().Count() == places.Count ? new PlainRow(layout, separator, fieldCount) : null;
    }

    /// <summary>Takes a row.</summary>
    /// <param name="line">The row without its end.</param>
    /// <param name="times">Reads the times.</param>
    /// <param name="values">Gets the values of the log's columns, in the order of the quantities.</param>
    /// <param name="stride">How far one of them lies from the next.</param>
    /// <param name="stamp">Its time as it stands there, UTC ticks.</param>
    /// <returns><c>false</c>: the row is of another form.</returns>
    public bool TryTake(ReadOnlySpan<byte> line, LogTime times, Span<double> values, int stride, out long stamp)
    {
        stamp = 0;
        for (var place = 0; place < _fields.Length; place++)
        {
            if (place > 0)
            {
                if (line.IsEmpty)
                    return false;
                line = line[1..]; // What separates the fields.
            }

            ref readonly var field = ref _fields[place];
            int length;
            if (field.Holds == Holds.Value)
            {
                length = PlainDecimal.Read(line, _separator, out var value);
                if (length < 0)
                    return false;
                values[field.Quantity * stride] = value + 0.0; // As in LogColumn.Reckoned.
            }
            else
            {
                length = line.IndexOf(_separator);
                if (length < 0)
                    length = line.Length;
                if (field.Holds == Holds.Time && !times.TryReadPlain(line[..length], out stamp))
                    return false;
            }

            line = line[length..];
        }

        Convert(values, stride);
        return line.IsEmpty || line.Count(_separator) <= _unused;
    }

    /// <summary>
    /// The same of a short row, such as most logs have: the ends of all its fields are found at once, so that the processor reads one
    /// while it still reads the one before.
    /// </summary>
    /// <param name="bytes">What begins with the row, <see cref="Window"/> of them.</param>
    /// <param name="times">Reads the times.</param>
    /// <param name="values">Gets the values of the log's columns, in the order of the quantities.</param>
    /// <param name="stride">How far one of them lies from the next.</param>
    /// <param name="stamp">Its time as it stands there, UTC ticks.</param>
    /// <returns>How many bytes it has, its end among them; 0: the row is long, or of another form.</returns>
    public int TakeShort(ReadOnlySpan<byte> bytes, LogTime times, Span<double> values, int stride, out long stamp)
    {
        stamp = 0;
        bytes = bytes[..Window];
        var (separators, others) = Marks(bytes);
        var end = BitOperations.TrailingZeroCount(others);
        if (end >= Reach - 1)
            return 0;
        var next = bytes[end] == '\n' ? end + 1 : bytes[end] == '\r' && bytes[end + 1] == '\n' ? end + 2 : 0;
        separators &= (1UL << end) - 1;
        var more = BitOperations.PopCount(separators) + 1 - _fields.Length;
        if (next == 0 || more < 0 || more > _unused)
            return 0;
        var (fields, from) = (_fields, 0);
        for (var place = 0; place < fields.Length; place++)
        {
            var field = fields[place];
            var to = separators == 0 ? end : BitOperations.TrailingZeroCount(separators);
            separators &= separators - 1;
            if (field.Holds == Holds.Value)
            {
                if (!TryReadShort(BinaryPrimitives.ReadUInt64LittleEndian(bytes[from..]), to - from, out var value))
                    return 0;
                values[field.Quantity * stride] = value;
            }
            else if (field.Holds == Holds.Time && !times.TryReadPlain(bytes[from..to], out stamp))
            {
                return 0;
            }

            from = to + 1;
        }

        Convert(values, stride);
        return next;
    }

    /// <summary>Reads a field.</summary>
    /// <param name="bytes">Its first byte, in the lowest place, and the seven behind it.</param>
    /// <param name="length">How many of them it has.</param>
    /// <param name="value">The value; NaN: there is none.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool TryReadShort(ulong bytes, int length, out double value)
    {
        value = double.NaN;
        if (length == 0)
            return true;
        if (length > sizeof(ulong) || !PlainDecimal.TryReadShort(bytes << (64 - (length * 8)), length, out value))
            return false;
        value += 0.0; // As in LogColumn.Reckoned.
        return true;
    }

    private void Convert(Span<double> values, int stride)
    {
        foreach (var (quantity, unit) in _converted)
            values[quantity * stride] = unit.ToReckoned(values[quantity * stride]);
    }

    /// <summary>Where separators stand, and where what is no part of a plain field, a bit for each byte.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private (ulong Separators, ulong Others) Marks(ReadOnlySpan<byte> bytes)
    {
        var (a, b, c, d) = (
            Vector128.Create(bytes),
            Vector128.Create(bytes[16..]),
            Vector128.Create(bytes[32..]),
            Vector128.Create(bytes[48..]));
        var (separator, least) = (Vector128.Create(_separator), Vector128.Create(LeastOfField));
        var separators = Bits(Vector128.Equals(a, separator))
            | (Bits(Vector128.Equals(b, separator)) << 16)
            | (Bits(Vector128.Equals(c, separator)) << 32)
            | (Bits(Vector128.Equals(d, separator)) << 48);
        var others = Bits(Vector128.LessThan(a, least))
            | (Bits(Vector128.LessThan(b, least)) << 16)
            | (Bits(Vector128.LessThan(c, least)) << 32)
            | (Bits(Vector128.LessThan(d, least)) << 48);
        return (separators, others & ~separators); // A tab is below, too.

        static ulong Bits(Vector128<byte> marks) => marks.ExtractMostSignificantBits();
    }

    /// <summary>What stands in one place of a row.</summary>
    /// <param name="Holds">What it holds.</param>
    /// <param name="Quantity">A value's place among the quantities.</param>
    private readonly record struct Field(Holds Holds, int Quantity);
}
