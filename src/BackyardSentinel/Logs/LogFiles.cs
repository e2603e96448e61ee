using System.Globalization;
using System.IO.Compression;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Logs;

/// <summary>The files that a log consists of.</summary>
public static class LogFiles
{
    /// <summary>Names by which the logs in a folder are known, also with <c>.gz</c> behind them.</summary>
    private static readonly string[] Endings = [".csv", ".tsv", ".txt", ".log", ".jsonl"];

    /// <summary>So many files are read at once; each stays open until the end.</summary>
    private const int MostFiles = 800;

    /// <summary>Puts the logs in a folder, by name, in the folder's place.</summary>
    /// <param name="given">Files and folders.</param>
    /// <param name="notes">Gets a sentence for each folder of which files were left out.</param>
    /// <exception cref="LogProblemException">A folder has no log, or too many.</exception>
    public static IReadOnlyList<string> Of(IReadOnlyList<string> given, ICollection<string> notes)
    {
        List<string> paths = [.. given.SelectMany(path => Directory.Exists(path) ? In(path, notes) : [path])];
        return paths.Count <= MostFiles
            ? paths
            : throw new LogProblemException(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{paths.Count} files are more than the {MostFiles} that can be read as one log; "
                        + $"join those of a month into one, with their header once."));
    }

    /// <summary>Opens a file to read, unpacked where it is packed by gzip.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="LogProblemException">It cannot be opened; the message says why.</exception>
    internal static Stream Open(string path) => Unpacked(OpenPacked(path));

    /// <summary>Recognises gzip by its first two bytes, whatever the file is called.</summary>
    /// <param name="file">The file, at its beginning.</param>
    internal static Stream Unpacked(FileStream file)
    {
        int first = file.ReadByte(), second = file.ReadByte();
        file.Position = 0;
        return first == 0x1F && second == 0x8B ? new GZipStream(file, CompressionMode.Decompress) : file;
    }

    /// <summary>Opens a file to read as it is.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="LogProblemException">It cannot be opened; the message says why.</exception>
    internal static FileStream OpenPacked(string path)
    {
        if (path.Length == 0 || path.Contains('\0'))
            throw new LogProblemException("A log has an empty name; name the file.");
        if (Directory.Exists(path))
            throw new LogProblemException($"{path}: this is a folder; name the log files in it.");
        if (OrdinaryFile.HasNoLength(path))
            throw new LogProblemException($"{path}: the file is empty, or a pipe; a log needs a header and rows.");
        try
        {
            var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, 0, FileOptions.SequentialScan);
            if (file.CanSeek)
                return file;
            file.Dispose();
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new LogProblemException($"{path}: there is no such file.");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw new LogProblemException($"{path}: cannot be opened ({LogExcerpt.OneLine(e.Message).TrimEnd('.')}).");
        }

        throw new LogProblemException($"{path}: this is a pipe, and a log is read twice; save it to a file first.");
    }

    private static List<string> In(string folder, ICollection<string> notes)
    {
        List<string> all, logs;
        try
        {
            all = [.. Directory.EnumerateFiles(folder).Where(path => !Path.GetFileName(path).StartsWith('.'))];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new LogProblemException($"{folder}: the folder cannot be read ({LogExcerpt.OneLine(e.Message).TrimEnd('.')}).");
        }

        logs = [.. all.Where(IsLog).Order(StringComparer.Ordinal)];
        if (logs.Count == 0)
            throw new LogProblemException(
                $"{folder}: no file in this folder is called as a log is ({string.Join(", ", Endings)}, "
                    + "also with .gz behind it); name the files themselves.");
        if (all.Count > logs.Count)
            notes.Add(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{folder}: {logs.Count} of its {all.Count} files are read, "
                        + $"those called *{string.Join(", *", Endings)} or the same with .gz."));
        return logs;
    }

    private static bool IsLog(string path)
    {
        var name = path.EndsWith(".gz", StringComparison.OrdinalIgnoreCase) ? path[..^3] : path;
        return Endings.Any(ending => name.EndsWith(ending, StringComparison.OrdinalIgnoreCase));
    }
}
