using System.Globalization;

namespace BackyardSentinel.Live;

/// <summary>
/// The files of raw messages in one folder, a new one each day and whenever one has grown large; the oldest are removed, so that
/// all of them stay within their bound. Not thread-safe.
/// </summary>
/// <param name="folder">The folder.</param>
/// <param name="mostBytes">The most that all may take, bytes.</param>
internal sealed class CaptureFiles(string folder, long mostBytes) : IDisposable
{
    private const string Pattern = "messages-*.jsonl";
    private const string NameForm = "'messages-'yyyyMMdd'T'HHmmss'Z.jsonl'";

    /// <summary>No file grows beyond this, so that little is removed at once.</summary>
    private readonly long _mostInOne = Math.Min(mostBytes / 8, 16 * 1024 * 1024);

    private FileStream? _file;
    private DateOnly _day;

    /// <summary>Writes a line.</summary>
    /// <param name="at">When its message came.</param>
    /// <param name="line">The line, with its end.</param>
    public void Write(DateTimeOffset at, ReadOnlySpan<byte> line)
    {
        var day = DateOnly.FromDateTime(at.UtcDateTime);
        if (_file is not null && (day != _day || _file.Length + line.Length > _mostInOne))
            Dispose();
        _file ??= Open(at, day, line.Length);
        _file.Write(line);
    }

    /// <summary>Hands what was written to the system.</summary>
    public void Flush() => _file?.Flush();

    /// <inheritdoc/>
    public void Dispose()
    {
        var file = _file;
        _file = null;
        file?.Dispose();
    }

    private FileStream Open(DateTimeOffset at, DateOnly day, int needed)
    {
        if (OperatingSystem.IsWindows())
            Directory.CreateDirectory(folder);
        else
            Directory.CreateDirectory(folder, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        _day = day;
        var there = new DirectoryInfo(folder).GetFiles(Pattern).OrderBy(file => file.Name, StringComparer.Ordinal).ToList();
        var today = day.ToString("'messages-'yyyyMMdd'T'", CultureInfo.InvariantCulture);
        var last = there.LastOrDefault(file => file.Name.StartsWith(today, StringComparison.Ordinal) && file.Length + needed < _mostInOne);
        MakeRoom(there, last);
        var path = last?.FullName ?? Path.Combine(folder, at.UtcDateTime.ToString(NameForm, CultureInfo.InvariantCulture));
        var options = new FileStreamOptions
        {
            Mode = FileMode.OpenOrCreate,
            Access = FileAccess.ReadWrite,
            Share = FileShare.ReadWrite,
            BufferSize = 1 << 16,
        };
        if (!OperatingSystem.IsWindows())
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        var file = new FileStream(path, options);
        // A line that a power cut left half is closed, so that it does not take the next one with it.
        if (file.Length > 0)
        {
            file.Seek(-1, SeekOrigin.End);
            if (file.ReadByte() is not '\n')
                file.WriteByte((byte)'\n');
        }

        return file;
    }

    private void MakeRoom(List<FileInfo> there, FileInfo? kept)
    {
        var total = there.Sum(file => file.Length);
        foreach (var file in there)
        {
            if (total <= mostBytes - _mostInOne)
                return;
            if (file.FullName == kept?.FullName)
                continue;
            total -= file.Length;
            file.Delete();
        }
    }
}
