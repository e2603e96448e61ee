using BackyardSentinel.Wording;

namespace BackyardSentinel.Guards;

/// <summary>Why a file was not read.</summary>
internal enum FileTrouble
{
    /// <summary>It was.</summary>
    None,

    /// <summary>It is not there.</summary>
    Absent,

    /// <summary>It is longer than it may be.</summary>
    TooLong,

    /// <summary>It is empty, no ordinary file, or must not be read.</summary>
    Unreadable,
}

/// <summary>
/// Reads small files that a garden file names. A name may also lead to a pipe or a device, which has no end or never
/// begins; such are told by their length of nothing before they are opened.
/// </summary>
internal static class OrdinaryFile
{
    /// <summary>Reads a file whole.</summary>
    /// <param name="path">Its path; links are followed.</param>
    /// <param name="mostBytes">The largest it may be.</param>
    /// <param name="bytes">Its bytes, or <c>null</c>.</param>
    /// <param name="reason">Why there are none, with the path, without a full stop; or <c>null</c>.</param>
    public static bool TryRead(string path, int mostBytes, out byte[]? bytes, out Sentence? reason) =>
        Read(path, mostBytes, out bytes, out reason) == FileTrouble.None;

    /// <summary>The same, for a caller that has words of its own for what is wrong.</summary>
    public static FileTrouble Read(string path, int mostBytes, out byte[]? bytes, out Sentence? reason)
    {
        (bytes, reason) = (null, null);
        try
        {
            var length = Followed(path).Length;
            if (length == 0)
            {
                reason = $"the file {new Name(path)} is empty or no ordinary file";
                return FileTrouble.Unreadable;
            }

            using var stream = File.OpenRead(path);
            var read = new byte[Math.Min(length, mostBytes) + 1]; // One more, so that a longer file is told as such.
            var count = stream.ReadAtLeast(read, read.Length, throwOnEndOfStream: false);
            if (count > mostBytes)
            {
                reason = $"the file {new Name(path)} is longer than {mostBytes} bytes";
                return FileTrouble.TooLong;
            }

            bytes = read[..count];
            return FileTrouble.None;
        }
        catch (Exception cannot) when (cannot is FileNotFoundException or DirectoryNotFoundException)
        {
            var isFolder = Directory.Exists(path);
            reason = isFolder
                ? (Sentence)$"the file {new Name(path)} cannot be read: it is a folder"
                : $"there is no file {new Name(path)}";
            return isFolder ? FileTrouble.Unreadable : FileTrouble.Absent;
        }
        catch (Exception cannot)
            when (cannot
                    is IOException
                        or UnauthorizedAccessException
                        or ArgumentException
                        or NotSupportedException
                        or System.Security.SecurityException)
        {
            reason = $"the file {new Name(path)} cannot be read";
            return FileTrouble.Unreadable;
        }
    }

    /// <summary>The file is there and has no length: it is empty, or a pipe or a device, which to open may take for ever.</summary>
    /// <param name="path">Its path; links are followed.</param>
    public static bool HasNoLength(string path)
    {
        try
        {
            return Followed(path) is { Exists: true, Length: 0 };
        }
        catch (Exception cannot) when (cannot is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return false; // Whoever opens it says why it cannot be read.
        }
    }

    /// <summary>The file can be read and begins with these bytes; no more of it is read.</summary>
    /// <param name="path">Its path; that of a pipe or a device may wait for ever.</param>
    /// <param name="bytes">The bytes.</param>
    public static bool BeginsWith(string path, ReadOnlySpan<byte> bytes)
    {
        try
        {
            using var stream = File.OpenRead(path);
            Span<byte> read = new byte[bytes.Length];
            return stream.ReadAtLeast(read, read.Length, throwOnEndOfStream: false) == read.Length && read.SequenceEqual(bytes);
        }
        catch (Exception cannot) when (cannot is IOException or UnauthorizedAccessException)
        {
            return false;
        }
    }

    /// <summary>The file is there and a pipe or a device. It is opened to see, for reading and writing, which waits for nobody.</summary>
    /// <param name="path">Its path; links are followed.</param>
    public static bool IsPipeOrDevice(string path)
    {
        if (!HasNoLength(path))
            return false;
        if (Path.GetFullPath(Target(path)).StartsWith("/dev/", StringComparison.Ordinal))
            return true;
        try
        {
            using var stream = new FileStream(path, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite);
            return !stream.CanSeek;
        }
        catch (Exception cannot) when (cannot is IOException or UnauthorizedAccessException)
        {
            return false; // Whoever writes it says why it cannot be written.
        }
    }

    /// <summary>The file that a link leads to; a path that is no link as it is.</summary>
    /// <param name="path">Its path.</param>
    public static string Target(string path)
    {
        try
        {
            return new FileInfo(path).ResolveLinkTarget(returnFinalTarget: true)?.FullName ?? path;
        }
        catch (Exception cannot) when (cannot is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return path; // Whoever opens it says why it cannot be used.
        }
    }

    private static FileInfo Followed(string path)
    {
        FileInfo file = new(path);
        return (FileInfo?)file.ResolveLinkTarget(returnFinalTarget: true) ?? file;
    }

    /// <summary>When a file was last written, UTC; <c>null</c>: it is not there or must not be asked.</summary>
    /// <param name="path">Its path.</param>
    public static DateTimeOffset? WrittenAt(string path)
    {
        try
        {
            return File.Exists(path) ? new DateTimeOffset(File.GetLastWriteTimeUtc(path), TimeSpan.Zero) : null;
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return null;
        }
    }
}
