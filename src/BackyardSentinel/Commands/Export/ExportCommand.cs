using System.CommandLine;

namespace BackyardSentinel.Commands.Export;

/// <summary>
/// The command <c>export</c>: readings, hours, intervals, windows, journal or copper out of the store, for other programs and for
/// <c>replay</c>.
/// </summary>
public static class ExportCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create()
    {
        var what = new Argument<string>("WHAT") { Description = "readings, hours, intervals, windows, journal or copper" };
        what.AcceptOnlyFromAmong("readings", "hours", "intervals", "windows", "journal", "copper");
        var garden = CommandRun.Garden();
        var site = new Option<string?>("--site") { HelpName = "ID", Description = "Only this site (default: all of them)" };
        var from = new Option<string?>("--from") { HelpName = "TIME", Description = "Leave out what is before this time or day" };
        var to = new Option<string?>("--to") { HelpName = "TIME", Description = "Leave out what is at or after this time or day" };
        var file = new Option<string?>("--file")
        {
            HelpName = "FILE",
            Description = "Write to this file, "
            + "which only you may read (default: standard output)"
        };
        var format = new Option<string>("--format")
        {
            Description = "csv; for the journal also json; for readings also parquet, which needs --file",
            DefaultValueFactory = _ => "csv",
        };
        format.AcceptOnlyFromAmong("csv", "json", "parquet");
        var overwrite = new Option<bool>("--overwrite") { Description = "Replace the file if it is there" };
        var command = new Command("export", "Write readings, intervals, windows, journal or copper for other programs, and for replay")
        {
            what, garden, site, from, to, file, format, overwrite,
        };
        command.SetAction((parsed, _) =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return CommandRun.GuardedAsync(error, async () =>
            {
                var wish = new ExportWish(
                    parsed.GetValue(what)!,
                    parsed.GetValue(format)!,
                    GardenProblemException.Read(parsed.GetValue(garden)!),
                    parsed.GetValue(site),
                    parsed.GetValue(from),
                    parsed.GetValue(to));
                if (wish.Format == "parquet" && parsed.GetValue(file) is null)
                    throw new CommandProblemException("--format parquet is no text; name a file for it with --file.");
                if (parsed.GetValue(file) is { } path)
                {
                    WrittenFile.KeepsOff(file.Name, path, wish.Garden, parsed.GetValue(garden)!);
                    await ExportFile.WriteAsync(file.Name, path, parsed.GetValue(overwrite), wish.WriteAsync).ConfigureAwait(false);
                }
                else
                {
                    wish.Write(output);
                }

                foreach (var finding in wish.Findings)
                    error.WriteLine(finding);
                return wish.Findings.Count > 0 ? ExitCode.Findings : ExitCode.Done;
            });
        });
        return command;
    }
}
