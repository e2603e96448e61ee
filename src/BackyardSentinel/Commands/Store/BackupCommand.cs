using System.CommandLine;
using System.Globalization;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Store;

/// <summary>
/// The command <c>backup</c>: a copy of the store, safe to take while the service runs, and read through before it counts.
/// </summary>
public static class BackupCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create(TimeProvider time)
    {
        var target = new Argument<string>("FILE") { Description = "The file to write, or a folder: there it is named by the moment" };
        var garden = CommandRun.Garden();
        var dryRun = new Option<bool>("--dry-run") { Description = "Read the whole store through and write nothing" };
        var command = new Command("backup", "Copy the store to a file, also while the service runs") { target, garden, dryRun };
        command.SetAction(parsed =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return CommandRun.Guarded(error, () =>
            {
                var file = GardenProblemException.Read(parsed.GetValue(garden)!);
                var path = Target(parsed.GetValue(target)!, time.GetUtcNow());
                var copy = parsed.GetValue(dryRun)
                    ? StoreBackup.Check(file.Store.Path)
                    : StoreBackup.Write(file.Store.Path, path, time.GetUtcNow());
                output.Write(
                    copy.Path is null
                        ? $"Would write {path}: {copy.Holds.Text(file.Sites[0].Zone)}.\n"
                        : $"Written and read through: {path} ({Megabytes(copy.Bytes)}), {copy.Holds.Text(file.Sites[0].Zone)}.\n");
                if (copy.Faults.Count == 0)
                    return ExitCode.Done;
                error.Write(
                    $"The store {file.Store.Path} is damaged: {string.Join("; ", copy.Faults)}. "
                        + $"{(copy.Path is null ? "" : "The backup has the same fault. ")}Start the service "
                        + "again: it saves what can be saved.\n");
                return ExitCode.Findings;
            });
        });
        return command;
    }

    private static string Target(string given, DateTimeOffset now) =>
        Directory.Exists(given)
            ? Path.Combine(given, string.Create(CultureInfo.InvariantCulture, $"sentinel-{now.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}.db"))
            : given;

    internal static string Megabytes(long bytes) => string.Create(CultureInfo.InvariantCulture, $"{bytes / 1e6:0.0} MB");
}
