using System.Buffers.Binary;

namespace BackyardSentinel.Storage;

/// <summary>
/// Looks at the write-ahead file beside a store before SQLite does. SQLite takes it up to the first frame that does not fit and
/// forgets the rest in silence: right after a power cut, where the rest was never promised, but not where a bit has changed.
/// Each commit is on disk before the next begins, so a power cut can spoil the last one only.
/// </summary>
/// <remarks>The file's layout: sqlite.org, "Database File Format", section 4 (The Write-Ahead Log).</remarks>
internal static class WalCheck
{
    private const int HeaderBytes = 32, FrameHeaderBytes = 24;

    /// <summary>Commits that SQLite would forget although they were on disk.</summary>
    /// <param name="path">The store's file.</param>
    /// <exception cref="IOException">It cannot be read.</exception>
    public static int LostCommits(string path)
    {
        if (!File.Exists(path + "-wal"))
            return 0;
        using var wal = new FileStream(path + "-wal", FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        Span<byte> header = stackalloc byte[HeaderBytes];
        if (wal.ReadAtLeast(header, HeaderBytes, throwOnEndOfStream: false) < HeaderBytes)
            return 0;
        var isBig = (BinaryPrimitives.ReadUInt32BigEndian(header) & 1) == 1;
        (uint, uint) sum = (0, 0);
        Add(ref sum, header[..24], isBig);
        var sound = (BinaryPrimitives.ReadUInt32BigEndian(header) & ~1u) == 0x377F0682
            && sum == Pair(header[24..])
            && !IsRollback(path);
        var salt = header[16..24].ToArray();
        // The store's page size; a damaged header may name another.
        var pageBytes = sound ? (int)BinaryPrimitives.ReadUInt32BigEndian(header[8..]) : PageBytes(path);
        if (pageBytes is < 512 or > 65536)
            return 0;
        var frame = new byte[FrameHeaderBytes + pageBytes];
        int lost = 0, number = 0;
        while (wal.ReadAtLeast(frame, frame.Length, throwOnEndOfStream: false) == frame.Length)
        {
            if (!sound && number == 0)
                salt = frame[8..16];
            number++;
            Add(ref sum, frame.AsSpan(0, 8), isBig);
            Add(ref sum, frame.AsSpan(FrameHeaderBytes), isBig);
            var isOurs = frame.AsSpan(8, 8).SequenceEqual(salt);
            sound &= isOurs && sum == Pair(frame.AsSpan(16));
            if (!sound && isOurs && BinaryPrimitives.ReadUInt32BigEndian(frame.AsSpan(4)) != 0)
                lost++;
        }

        return lost > 1 ? lost : 0;
    }

    private static int PageBytes(string path)
    {
        Span<byte> size = stackalloc byte[2];
        using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        file.Position = 16;
        return file.ReadAtLeast(size, 2, throwOnEndOfStream: false) < 2 ? 0
            : BinaryPrimitives.ReadUInt16BigEndian(size) is var bytes && bytes == 1 ? 65536 : BinaryPrimitives.ReadUInt16BigEndian(size);
    }

    /// <summary>The store says that there is no write-ahead file, so that SQLite would not look at it.</summary>
    private static bool IsRollback(string path)
    {
        Span<byte> start = stackalloc byte[20];
        using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        return file.ReadAtLeast(start, 20, throwOnEndOfStream: false) == 20 && start[18..].SequenceEqual<byte>([1, 1]);
    }

    private static (uint, uint) Pair(ReadOnlySpan<byte> bytes) =>
        (BinaryPrimitives.ReadUInt32BigEndian(bytes), BinaryPrimitives.ReadUInt32BigEndian(bytes[4..]));

    private static void Add(ref (uint A, uint B) sum, ReadOnlySpan<byte> bytes, bool isBig)
    {
        for (; bytes.Length >= 8; bytes = bytes[8..])
        {
            sum.A += Word(bytes) + sum.B;
            sum.B += Word(bytes[4..]) + sum.A;
        }

        uint Word(ReadOnlySpan<byte> four) =>
            isBig ? BinaryPrimitives.ReadUInt32BigEndian(four) : BinaryPrimitives.ReadUInt32LittleEndian(four);
    }
}
