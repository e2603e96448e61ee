using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;

namespace BackyardSentinel.Web.Access;

/// <summary>
/// The two keys of the page, 192 random bits each: one for looking, one for writing. They lie beside the store in a file that
/// only the service's user may read, and are made when they are first needed.
/// </summary>
public sealed class PageKeys
{
    private const int KeyBytes = 24;
    private static readonly UnixFileMode OwnerOnly = UnixFileMode.UserRead | UnixFileMode.UserWrite;

    private static readonly Pair OfProgram = new(Random(), Random());

    private readonly string? _path;
    private Pair _pair;
    private DateTime _writtenAt;

    private PageKeys(Pair pair, string? path, bool areNew) => (_pair, _path, AreNew) = (pair, path, areNew);

    /// <summary>The grower's key.</summary>
    public string Writer => Now.Writer;

    /// <summary>The family's key.</summary>
    public string Reader => Now.Reader;

    /// <summary>They have just been made: nobody has them yet.</summary>
    public bool AreNew { get; }

    /// <summary>Where the keys of a store lie.</summary>
    /// <param name="store">The store's file.</param>
    public static string PathBeside(string store) => store + ".page-keys";

    /// <summary>Reads the keys.</summary>
    /// <param name="path">Their file.</param>
    /// <returns><c>null</c>: there are none yet.</returns>
    /// <exception cref="IOException">The file cannot be read.</exception>
    /// <exception cref="UnauthorizedAccessException">The same.</exception>
    public static PageKeys? Read(string path) => PairIn(path) is { } pair ? new PageKeys(pair, path, areNew: false) : null;

    /// <summary>Reads the keys, or makes them: the service does, so that their file is its user's.</summary>
    /// <param name="path">Their file.</param>
    /// <exception cref="IOException">The file cannot be read or written.</exception>
    /// <exception cref="UnauthorizedAccessException">The same.</exception>
    public static PageKeys Of(string path)
    {
        if (Read(path) is { } kept)
            return kept;
        if (Path.GetDirectoryName(Path.GetFullPath(path)) is { } folder)
            Directory.CreateDirectory(folder);
        return Written(path, FileMode.Create);
    }

    /// <summary>Makes new keys in the place of those that are there: whoever has the old ones is shut out.</summary>
    /// <param name="path">Their file. It stays its owner's, whoever calls, and is no link that leads elsewhere.</param>
    /// <exception cref="IOException">The file cannot be written.</exception>
    /// <exception cref="UnauthorizedAccessException">The same.</exception>
    public static PageKeys Renew(string path) => new FileInfo(path).LinkTarget is null
        ? Written(path, FileMode.Open)
        : throw new IOException("it is a link to another file");

    /// <summary>
    /// Keys that no file keeps, for a page that only this computer reaches. They are the program's as long as it runs: a form that is open
    /// while the garden file is read anew can still be sent.
    /// </summary>
    public static PageKeys Passing() => new(OfProgram, null, areNew: false);

    /// <summary>What a key opens; compared in a time that does not tell how much of it is right.</summary>
    /// <param name="key">The key.</param>
    public Role RoleOf(string? key) => IsSame(key, Writer) ? Role.Writer : IsSame(key, Reader) ? Role.Reader : Role.Stranger;

    /// <summary>What a form of the page carries, so that no other page can send one in the visitor's name.</summary>
    public string FormPass => Base64Url.EncodeToString(HMACSHA256.HashData(Encoding.ASCII.GetBytes(Writer), "form"u8));

    /// <summary>Whether a form carries it.</summary>
    /// <param name="pass">What it carries.</param>
    public bool IsFormPass(string? pass) => IsSame(pass, FormPass);

    /// <summary>Written over what is there and just as long, so that a power cut leaves the old keys or the new ones.</summary>
    private static PageKeys Written(string path, FileMode mode)
    {
        var keys = new Pair(Random(), Random());
        var options = new FileStreamOptions { Mode = mode, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows() && mode != FileMode.Open)
            options.UnixCreateMode = OwnerOnly;
        using var file = new FileStream(path, options);
        file.Write(Encoding.ASCII.GetBytes($"{keys.Writer}\n{keys.Reader}\n"));
        file.SetLength(file.Position);
        file.Flush(flushToDisk: true);
        file.Dispose();
        return new PageKeys(keys, path, areNew: true);
    }

    /// <summary>The keys that hold now: the command <c>page --renew</c> may have written new ones meanwhile.</summary>
    private Pair Now
    {
        get
        {
            if (_path is null)
                return _pair;
            try
            {
                var writtenAt = File.GetLastWriteTimeUtc(_path);
                if (writtenAt != _writtenAt && PairIn(_path) is { } renewed)
                    (_pair, _writtenAt) = (renewed, writtenAt);
            }
            catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
            {
                // Those that were read go on to hold.
            }

            return _pair;
        }
    }

    private static Pair? PairIn(string path) =>
        File.Exists(path) && File.ReadAllLines(path) is [{ Length: > 20 } writer, { Length: > 20 } reader, ..]
            ? new Pair(writer, reader)
            : null;

    private static bool IsSame(string? one, string other) => CryptographicOperations.FixedTimeEquals(
        SHA256.HashData(Encoding.UTF8.GetBytes(one ?? "")),
        SHA256.HashData(Encoding.UTF8.GetBytes(other)));

    private sealed record Pair(string Writer, string Reader);

    private static string Random() => Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(KeyBytes));
}
