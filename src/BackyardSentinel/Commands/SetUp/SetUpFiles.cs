using System.Globalization;

namespace BackyardSentinel.Commands.SetUp;

/// <summary>The garden file and its secrets, kept until everything has been answered, then written; nothing is lost by it.</summary>
/// <param name="path">The garden file's path.</param>
internal sealed class SetUpFiles(string path)
{
    /// <summary>For who runs the service, by its group too; nobody else.</summary>
    private const UnixFileMode Kept = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead;

    private readonly Dictionary<string, string> _secrets = [];

    /// <summary>How the files of secrets begin: those of a garden file of another name than the usual bear it.</summary>
    public string Secrets =>
        Path.GetFileNameWithoutExtension(path) is var stem && stem == "garden" ? "secrets/" : $"secrets/{stem}-";

    private string Folder => Path.GetDirectoryName(Path.GetFullPath(path))!;

    /// <summary>Tries whether the files can be written, before anything is asked; what it makes for that is gone again.</summary>
    /// <exception cref="CommandProblemException">They cannot; the message says why.</exception>
    public void Try()
    {
        if (Directory.Exists(path))
            throw new CommandProblemException($"{path} is a folder. Name the file to write by --garden.");
        try
        {
            var there = Folder;
            while (!Directory.Exists(there))
            {
                if (File.Exists(there))
                    throw new IOException($"{there} is no folder");
                there = Path.GetDirectoryName(there)!;
            }

            using var trial = new FileStream(
                Path.Combine(there, Path.GetRandomFileName()),
                new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write, Options = FileOptions.DeleteOnClose });
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw Refused(failure);
        }
    }

    /// <summary>A secret is to be written into a file of its own.</summary>
    /// <param name="name">The file's name, from the garden file's folder on.</param>
    /// <param name="secret">The secret.</param>
    public void Keep(string name, string secret) => _secrets[name] = secret;

    /// <summary>Writes the garden file and the secrets, and gives a line on each thing done.</summary>
    /// <exception cref="CommandProblemException">They cannot be written; the message says why.</exception>
    public IReadOnlyList<string> Write(string garden)
    {
        List<string> done = [];
        try
        {
            foreach (var (name, secret) in _secrets)
            {
                Put(Path.Combine(Folder, name), secret + "\n", done);
                done.Add($"Kept {Path.Combine(Folder, name)}: a secret, for you and the service alone.");
            }

            Put(Path.GetFullPath(path), garden, done);
            done.Add($"Written: {path}");
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw Refused(failure);
        }

        return done;
    }

    private CommandProblemException Refused(Exception failure) => new(
        $"{path} cannot be written: {failure.Message.TrimEnd('.')}. Name a file in a folder of yours by --garden, or use sudo.");

    private static void Put(string file, string text, List<string> done)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(file)!);
        if (File.Exists(file) && File.ReadAllText(file) != text)
        {
            var beside = Enumerable.Range(1, int.MaxValue)
                .Select(i => string.Create(CultureInfo.InvariantCulture, $"{file}.before-{i}"))
                .First(one => !File.Exists(one));
            File.Move(file, beside);
            done.Add($"What was in {file} is now in {beside}.");
        }

        var options = new FileStreamOptions { Mode = FileMode.Create, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows())
            options.UnixCreateMode = Kept;
        using var stream = new StreamWriter(file, options);
        stream.Write(text);
    }
}
