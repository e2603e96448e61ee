using System.Numerics;
using System.Text;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>
/// What the values of a row add up to: CRC-32C (Castagnoli; iSCSI, RFC 3720 appendix B.4) over the table's name and each
/// value. It stands in the row's column <c>sum</c>, so that a bit that changed later shows, wherever in the row it lies.
/// </summary>
internal static class RowSum
{
    /// <summary>The function's name in SQL: <c>row_sum('table', value, …)</c>.</summary>
    public const string Function = "row_sum";

    /// <summary>What no value gives.</summary>
    private const ulong Nothing = 0x9E3779B97F4A7C15;

    private static readonly uint ReadingsSeed = Text(uint.MaxValue, "readings"),
        TotalsSeed = Text(uint.MaxValue, "totals"),
        DeliveriesSeed = Text(uint.MaxValue, "deliveries");

    /// <summary>The sum of a reading's row.</summary>
    public static long Of(in StoredReading row) =>
        (int)Whole(Packed(Whole(Whole(ReadingsSeed, row.TimeMs), row.Series), row.Value), ReadingRow.LagUs(row));

    /// <summary>A reading's row is as it was written, and a clock can have shown its times.</summary>
    /// <param name="row">The reading.</param>
    /// <param name="sum">The sum that stands in its row.</param>
    public static bool Holds(in StoredReading row, long sum) =>
        sum == Of(row) && row.TimeMs <= StoredTime.LastMs && StoredTime.IsMicroseconds(row.ReceivedUs);

    /// <summary>The sum of a running total's row.</summary>
    public static long Of(in StoredTotal row) => (int)Whole(Real(Whole(TotalsSeed, row.Series), row.Total), row.TimeMs);

    /// <summary>The sum of a delivery's row.</summary>
    public static long Of(in StoredDelivery row) =>
        (int)Whole(Whole(Whole(Whole(DeliveriesSeed, row.Number), row.PacketId), row.Digest), row.Waited ? 1 : 0);

    /// <summary>Teaches a connection the function; without it no trigger of the store runs.</summary>
    public static void AddTo(SqliteConnection connection) =>
        connection.CreateFunction(Function, (object?[] values) => Of(values), isDeterministic: true);

    /// <summary>The sum of any row: its table's name, then its values. The same as the others give.</summary>
    private static long Of(object?[] values)
    {
        var sum = uint.MaxValue;
        foreach (var value in values)
            sum = value switch
            {
                long whole => Whole(sum, whole),
                double real => Real(sum, real),
                string text => Text(sum, text),
                byte[] bytes => Bytes(sum, bytes),
                _ => BitOperations.Crc32C(sum, Nothing),
            };
        return (int)sum;
    }

    private static uint Whole(uint sum, long value) => BitOperations.Crc32C(sum, (ulong)value);

    private static uint Packed(uint sum, double value) =>
        ReadingRow.IsWhole(value, out var thousandths) ? Whole(sum, thousandths) : Real(sum, value);

    /// <summary>SQLite keeps 5.0 as 5 where that is shorter; both count the same.</summary>
    private static uint Real(uint sum, double value) =>
        Math.Abs(value) < 1L << 53 && value == Math.Floor(value)
            ? Whole(sum, (long)value)
            : BitOperations.Crc32C(sum, BitConverter.DoubleToUInt64Bits(value));

    private static uint Text(uint sum, string text) => Bytes(sum, Encoding.UTF8.GetBytes(text));

    private static uint Bytes(uint sum, ReadOnlySpan<byte> bytes)
    {
        sum = Whole(sum, bytes.Length);
        while (bytes.Length >= sizeof(ulong))
        {
            sum = BitOperations.Crc32C(sum, System.Buffers.Binary.BinaryPrimitives.ReadUInt64LittleEndian(bytes));
            bytes = bytes[sizeof(ulong)..];
        }

        foreach (var one in bytes)
            sum = BitOperations.Crc32C(sum, one);
        return sum;
    }
}
