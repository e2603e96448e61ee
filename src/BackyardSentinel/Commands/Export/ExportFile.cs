using BackyardSentinel.Guards;

namespace BackyardSentinel.Commands.Export;

/// <summary>A file that is written whole or not at all, readable for its owner alone: readings tell when a house is lived in.</summary>
internal static class ExportFile
{
    /// <summary>Writes the file.</summary>
    /// <param name="option">The option that names it.</param>
    /// <param name="path">Where.</param>
    /// <param name="mayReplace">A file that is there may be replaced.</param>
    /// <param name="write">Writes into it.</param>
    /// <exception cref="CommandProblemException">It cannot be written, or is there already.</exception>
    public static async Task WriteAsync(string option, string path, bool mayReplace, Func<Stream, Task> write)
    {
        if (Directory.Exists(path))
            throw new CommandProblemException($"{option}: {path} is a folder; name a file in it.");
        if (OrdinaryFile.IsPipeOrDevice(path))
            throw new CommandProblemException(
                $"{option}: {path} is a pipe or a device, and nothing was written. Name an ordinary file.");
        path = OrdinaryFile.Target(path); // A link stays one.
        if (File.Exists(path) && !mayReplace)
            throw new CommandProblemException(
                $"{option}: {path} is there already, and nothing was written. Name another file, or add --overwrite.");
        var part = $"{path}.{Path.GetRandomFileName()}.part";
        try
        {
            var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.ReadWrite };
            if (!OperatingSystem.IsWindows())
                options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
            var stream = new FileStream(part, options);
            await using (stream.ConfigureAwait(false))
                await write(stream).ConfigureAwait(false);
            File.Move(part, path, mayReplace);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            Remove(part);
            throw new CommandProblemException(
                $"{option}: {path} cannot be written: {failure.Message.TrimEnd('.')}. Is there such a folder, is there room, "
                    + "and may this user write there?");
        }
        catch
        {
            Remove(part);
            throw;
        }
    }

    private static void Remove(string part)
    {
        if (File.Exists(part))
            File.Delete(part);
    }
}
