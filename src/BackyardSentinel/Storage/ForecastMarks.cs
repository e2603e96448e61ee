using System.Text.Json;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Storage;

/// <summary>What is known of a forecast's source from earlier requests, so that a restart neither forgets it nor asks too soon.</summary>
/// <param name="Source">Which source and which reading of it this is of; another one knows nothing of it.</param>
/// <param name="NotBefore">The source is not asked before this moment, UTC.</param>
/// <param name="ETag">The mark of the version that was taken; <c>null</c>: it gave none.</param>
/// <param name="LastModified">The date of the version that was taken; <c>null</c>: it gave none.</param>
public sealed record ForecastMark(string Source, DateTimeOffset NotBefore, string? ETag, DateTimeOffset? LastModified);

/// <summary>Keeps the <see cref="ForecastMark"/> in the store, on a connection of its own.</summary>
public sealed class ForecastMarks : IDisposable
{
    private readonly SqliteConnection _connection;

    private ForecastMarks(SqliteConnection connection) => _connection = connection;

    /// <summary>Opens the marks of a store that <see cref="SentinelStore.Open"/> has opened or made.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="StoreException">There is no such store.</exception>
    public static ForecastMarks Open(string path) => new(StoreSchema.Beside(path));

    /// <summary>What is known; <c>null</c>: nothing, or nothing that can be read.</summary>
    public ForecastMark? Read()
    {
        try
        {
            // Without the answer itself its marks are worth nothing: the source would say that nothing has changed.
            var rows = _connection.Rows(
                "select value, (select count(*) from meta where key = 'forecast') from meta where key = 'forecast-mark'",
                row => (row.GetString(0), row.GetInt64(1) > 0));
            if (rows is not [var (text, isKept)])
                return null;
            using var json = JsonDocument.Parse(text);
            var root = json.RootElement;
            return new ForecastMark(
                root.GetProperty("source").GetString()!,
                root.GetProperty("not_before").GetDateTimeOffset(),
                isKept ? root.GetProperty("etag").GetString() : null,
                isKept && root.GetProperty("last_modified") is { ValueKind: JsonValueKind.String } date ? date.GetDateTimeOffset() : null);
        }
        catch (Exception unreadable)
            when (unreadable
                    is SqliteException
                        or JsonException
                        or KeyNotFoundException
                        or InvalidOperationException
                        or InvalidCastException
                        or FormatException)
        {
            return null; // Then the source is asked as if for the first time.
        }
    }

    /// <summary>Keeps what is known. Where the store takes nothing it is known until the program ends.</summary>
    /// <param name="mark">What is known.</param>
    public void Keep(ForecastMark mark)
    {
        ArgumentNullException.ThrowIfNull(mark);
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartObject();
            json.WriteString("source", mark.Source);
            json.WriteString("not_before", mark.NotBefore);
            json.WriteString("etag", mark.ETag);
            if (mark.LastModified is { } date) json.WriteString("last_modified", date);
            else json.WriteNull("last_modified");
            json.WriteEndObject();
        }

        try
        {
            _connection.Run(
                "insert or replace into meta(key, value) values('forecast-mark', $a)",
                System.Text.Encoding.UTF8.GetString(buffer.ToArray()));
        }
        catch (SqliteException)
        {
            // See the summary.
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _connection.Dispose();
}
