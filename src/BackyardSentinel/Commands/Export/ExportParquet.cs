using BackyardSentinel.Logs;
using Parquet;
using Parquet.Schema;

namespace BackyardSentinel.Commands.Export;

/// <summary>Writes readings as Apache Parquet: the columns of the CSV, typed. Only the library's column writer is used, which needs
/// no reflection.</summary>
internal static class ExportParquet
{
    /// <summary>Rows that stand together in the file, and in memory while they are written.</summary>
    private const int GroupRows = 50_000;

    private static readonly DateTimeDataField Time = Moment("time", isNullable: false);
    private static readonly DateTimeDataField Received = Moment("received", isNullable: true);
    private static readonly DataField<string> Site = new("site", false);
    private static readonly DataField<int> Place = new("place", true);
    private static readonly DataField<double>[] Values = [.. ReadingsFile.Values.Select(name => new DataField<double>(name, true))];
    private static readonly DataField<string> Listening = new("listening", false);

    /// <summary>Writes the rows.</summary>
    public static async Task WriteAsync(IEnumerable<ReadingsRow> rows, Stream output)
    {
        var schema = new ParquetSchema([Time, Received, Site, Place, .. Values, Listening]);
        var writer = await ParquetWriter.CreateAsync(schema, output).ConfigureAwait(false);
        await using (writer.ConfigureAwait(false))
        {
            foreach (var group in rows.Chunk(GroupRows))
                await WriteAsync(writer, group).ConfigureAwait(false);
        }
    }

    private static async Task WriteAsync(ParquetWriter writer, ReadingsRow[] rows)
    {
        using var group = writer.CreateRowGroup();
        await group.WriteAsync<DateTime>(Time, rows.Select(row => row.Time.UtcDateTime).ToArray()).ConfigureAwait(false);
        await group.WriteAsync<DateTime>(Received, rows.Select(row => row.Received?.UtcDateTime).ToArray()).ConfigureAwait(false);
        await group.WriteAsync(Site, rows.Select(row => row.Site).ToArray()).ConfigureAwait(false);
        await group.WriteAsync<int>(Place, rows.Select(row => row.Place).ToArray()).ConfigureAwait(false);
        for (var i = 0; i < Values.Length; i++)
        {
            var column = i;
            await group.WriteAsync<double>(Values[i], rows.Select(row => row.Values.Length > 0 ? row.Values[column] : null).ToArray())
                .ConfigureAwait(false);
        }

        await group.WriteAsync(
            Listening, rows.Select(row => row.Received is null ? ReadingsFile.Stopped : "").ToArray()).ConfigureAwait(false);
        group.CompleteValidate();
    }

    private static DateTimeDataField Moment(string name, bool isNullable) =>
        new(name, DateTimeFormat.Timestamp, true, DateTimeTimeUnit.Micros, isNullable, null, null);
}
