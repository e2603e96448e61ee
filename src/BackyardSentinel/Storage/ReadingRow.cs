using System.Runtime.InteropServices;
using Microsoft.Data.Sqlite;
using SQLitePCL;

namespace BackyardSentinel.Storage;

/// <summary>
/// How a reading lies in the file. Nearly all rows of a store are readings, so they are kept short: the arrival as what it lies
/// behind the reading's own time; a value of up to three decimals, as sensors send it, as a whole number of thousandths, which
/// gives the very same value back. Any other value stands there as it is.
/// </summary>
internal static class ReadingRow
{
    /// <summary>The columns in the order in which <see cref="Of"/> reads them.</summary>
    public const string Columns = "series, time_ms, value, lag_us, sum";

    /// <summary>The arrival in SQL, µs since 1970 UTC.</summary>
    public const string ReceivedUs = "(time_ms * 1000 + lag_us)";

    /// <summary>The value in SQL, in the quantity's unit.</summary>
    public const string ValueSql = "(case typeof(value) when 'integer' then value / 1000.0 else value end)";

    /// <summary>In SQL: there is no number in the row, but an empty text, say, which comes to the same sum as a 0 does.</summary>
    public const string IsNoNumber = "typeof(value) not in ('integer', 'real')";

    /// <summary>The columns before the sum, in SQL, from a table of version 1 to 6, which had value and arrival as they are.</summary>
    public const string FromOld =
        "time_ms, series, (case when abs(value) < 1e12 and round(value * 1000) / 1000.0 = value then cast(round(value * 1000) as "
            + "integer) else value end), received_us - time_ms * 1000";

    /// <summary>What such a table calls its rows' sum.</summary>
    public const string OldSum = $"{RowSum.Function}('readings', time_ms, series, value, received_us)";

    /// <summary>The times of such a table that a clock can have shown.</summary>
    public static string OldIsPossible { get; } =
        $"time_ms between {StoredTime.FirstMs} and {StoredTime.LastMs} and received_us between {StoredTime.FirstMs * 1000} "
            + $"and {StoredTime.LastMs * 1000}";

    /// <summary>A value as it is kept.</summary>
    public static object Packed(double value) => IsWhole(value, out var thousandths) ? (object)thousandths : value;

    /// <summary>A value is kept as a whole number of thousandths.</summary>
    /// <param name="value">The value.</param>
    /// <param name="thousandths">The number.</param>
    public static bool IsWhole(double value, out long thousandths)
    {
        var rounded = Math.Round(value * 1000);
        thousandths = (long)rounded;
        return Math.Abs(value) < 1e12 && rounded / 1000 == value;
    }

    /// <summary>What of a reading's arrival is kept, µs.</summary>
    public static long LagUs(in StoredReading row) => row.ReceivedUs - (row.TimeMs * 1000);

    /// <summary>
    /// The reading in a row of <see cref="Columns"/>, and its sum. Seasons have millions of rows: the columns are asked for right at
    /// SQLite, past the counting of handles that the library does for each, while the reader keeps the row; and one that holds what
    /// it cannot hold, which is damage, gives a number that does not come to the sum.
    /// </summary>
    public static StoredReading Of(SqliteDataReader row, out long sum)
    {
        var columns = row.Handle!.DangerousGetHandle();
        var timeMs = ColumnInt64(columns, 1);
        sum = ColumnInt64(columns, 4);
        // One bit makes nothing, or an empty text, of a 0; SQLite gives a 0 for that all the same.
        if (ColumnType(columns, 3) != raw.SQLITE_INTEGER)
            sum = ~sum;
        return new StoredReading(
            (int)ColumnInt64(columns, 0),
            timeMs,
            Value(columns, 2),
            (timeMs * 1000) + ColumnInt64(columns, 3));
    }

    /// <summary>
    /// Goes to the next row behind the first that <see cref="SqliteDataReader.Read"/> has read, right by SQLite as well; the reader is
    /// good for nothing else afterwards.
    /// </summary>
    /// <returns>There is one.</returns>
    /// <exception cref="SqliteException">It cannot be read.</exception>
    public static bool Next(SqliteDataReader row)
    {
        switch (Step(row.Handle!.DangerousGetHandle()))
        {
            case raw.SQLITE_ROW:
                return true;
            case raw.SQLITE_DONE:
                return false;
            case var failure:
                SqliteException.ThrowExceptionForRC(failure, raw.sqlite3_db_handle(row.Handle));
                return false;
        }
    }

    /// <summary>A value that was kept by <see cref="Packed"/>.</summary>
    public static double Value(SqliteDataReader row, int column) => Value(row.Handle!.DangerousGetHandle(), column);

    private static double Value(nint columns, int column) => ColumnType(columns, column) switch
    {
        raw.SQLITE_INTEGER => ColumnInt64(columns, column) / 1000.0,
        raw.SQLITE_FLOAT => ColumnDouble(columns, column),
        _ => double.NaN,
    };

    [DllImport("e_sqlite3", EntryPoint = "sqlite3_step", CallingConvention = CallingConvention.Cdecl)]
    private static extern int Step(nint statement);

    [SuppressGCTransition]
    [DllImport("e_sqlite3", EntryPoint = "sqlite3_column_int64", CallingConvention = CallingConvention.Cdecl)]
    private static extern long ColumnInt64(nint statement, int column);

    [SuppressGCTransition]
    [DllImport("e_sqlite3", EntryPoint = "sqlite3_column_double", CallingConvention = CallingConvention.Cdecl)]
    private static extern double ColumnDouble(nint statement, int column);

    [SuppressGCTransition]
    [DllImport("e_sqlite3", EntryPoint = "sqlite3_column_type", CallingConvention = CallingConvention.Cdecl)]
    private static extern int ColumnType(nint statement, int column);
}
