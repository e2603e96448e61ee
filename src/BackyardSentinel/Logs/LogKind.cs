using System.Text;

namespace BackyardSentinel.Logs;

/// <summary>What a file that is given as a log holds.</summary>
public enum LogKind
{
    /// <summary>Rows and columns, as loggers write them.</summary>
    Table,

    /// <summary>Readings as <c>export readings</c> writes them.</summary>
    Readings,

    /// <summary>Raw messages, one JSON object a line.</summary>
    Messages,

    /// <summary>The service's store.</summary>
    Store,

    /// <summary>No file: the garden's InfluxDB server.</summary>
    Influx,
}

/// <summary>Tells what a log is by its beginning, whatever the file is called.</summary>
public static class LogKinds
{
    private const int LookedAt = 4096;

    /// <summary>The kind of a file; one that cannot be opened is taken for a table, whose reader says why.</summary>
    /// <param name="path">The file.</param>
    public static LogKind Of(string path)
    {
        var begin = Beginning(path);
        if (begin.StartsWith("SQLite format 3\0", StringComparison.Ordinal))
            return LogKind.Store;
        begin = begin.TrimStart('\uFEFF', ' ', '\t', '\r', '\n');
        if (begin.StartsWith('{'))
            return LogKind.Messages;
        var header = begin.Split('\n')[0].Trim().Split(',', ';', '\t').Select(head => head.Trim('"', ' '));
        return ReadingsFile.Keys.All(header.Contains) ? LogKind.Readings : LogKind.Table;
    }

    private static string Beginning(string path)
    {
        try
        {
            using var stream = LogFiles.Open(path);
            var bytes = new byte[LookedAt];
            return Encoding.UTF8.GetString(bytes, 0, stream.ReadAtLeast(bytes, LookedAt, throwOnEndOfStream: false));
        }
        catch (Exception e) when (e is LogProblemException or InvalidDataException or IOException)
        {
            return "";
        }
    }
}
