using Microsoft.Data.Sqlite;
using SQLitePCL;

namespace BackyardSentinel.Storage;

/// <summary>
/// Statements with their values as $a, $b, … and <c>null</c> for nothing. Each belongs to the transaction that its connection
/// is in.
/// </summary>
internal static class Sql
{
    /// <summary>Runs a statement; gives the number of rows changed.</summary>
    public static int Run(this SqliteConnection connection, string sql, params ReadOnlySpan<object?> values)
    {
        using var command = Command(connection, sql, values);
        return command.ExecuteNonQuery();
    }

    /// <summary>The first value of the first row; <c>null</c> where there is no row.</summary>
    public static object? Value(this SqliteConnection connection, string sql, params ReadOnlySpan<object?> values)
    {
        using var command = Command(connection, sql, values);
        return command.ExecuteScalar();
    }

    /// <summary>All rows. One that holds what its column cannot hold, such as nothing where something must stand, is damage.</summary>
    /// <exception cref="SqliteException">They cannot be read, or are damaged.</exception>
    public static List<T> Rows<T>(
        this SqliteConnection connection,
        string sql,
        Func<SqliteDataReader, T> read,
        params ReadOnlySpan<object?> values)
    {
        using var command = Command(connection, sql, values);
        using var row = command.ExecuteReader();
        List<T> rows = [];
        while (row.Read())
        {
            try
            {
                rows.Add(read(row));
            }
            catch (Exception failure)
                when (failure is InvalidOperationException or InvalidCastException or FormatException or OverflowException)
            {
                throw new SqliteException($"a row holds what it cannot hold: {failure.Message}", raw.SQLITE_CORRUPT);
            }
        }

        return rows;
    }

    /// <summary>A statement to run, or to prepare and run often with other values.</summary>
    public static SqliteCommand Command(this SqliteConnection connection, string sql, params ReadOnlySpan<object?> values)
    {
        var command = connection.CreateCommand();
        command.CommandText = sql;
        for (var i = 0; i < values.Length; i++)
            command.Parameters.Add(new SqliteParameter("$" + (char)('a' + i), values[i] ?? DBNull.Value));
        return command;
    }
}
