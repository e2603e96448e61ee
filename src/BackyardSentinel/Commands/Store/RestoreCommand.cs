using System.CommandLine;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Store;

/// <summary>The command <c>restore</c>: puts a backup in the store's place, and keeps what was there.</summary>
public static class RestoreCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create(TimeProvider time)
    {
        var backup = new Argument<string>("FILE") { Description = "The backup; it stays as it is" };
        var garden = CommandRun.Garden();
        var dryRun = new Option<bool>("--dry-run") { Description = "Read the backup through, say what it holds and change nothing" };
        var command = new Command("restore", "Put a backup in the store's place while the service is stopped") { backup, garden, dryRun };
        command.SetAction(parsed =>
        {
            var output = parsed.InvocationConfiguration.Output;
            return CommandRun.Guarded(parsed.InvocationConfiguration.Error, () =>
            {
                var file = GardenProblemException.Read(parsed.GetValue(garden)!);
                var (from, store, zone) = (parsed.GetValue(backup)!, file.Store.Path, file.Sites[0].Zone);
                var copy = StoreBackup.Restore(from, store, time.GetUtcNow(), parsed.GetValue(dryRun));
                if (copy.Path is null)
                {
                    output.Write(
                        $"Would restore {from} into {store}: "
                            + $"{copy.Holds.Text(zone)}.{(File.Exists(store) ? " What is there now would be kept beside it." : "")}\n");
                    return ExitCode.Done;
                }

                output.Write($"Restored {from} into {store}: {copy.Holds.Text(zone)}.\n");
                if (copy.Kept is { } kept)
                    output.Write($"What was there is kept as {kept}.\n");
                output.Write("Start the service: it judges the season again, and shows the time since the backup as unknown.\n");
                return ExitCode.Done;
            });
        });
        return command;
    }
}
