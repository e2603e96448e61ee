using System.CommandLine;
using BackyardSentinel.Commands.Export;
using BackyardSentinel.Demo;
using BackyardSentinel.Hosting;
using BackyardSentinel.Web.Report;

namespace BackyardSentinel.Commands.Report;

/// <summary>The command <c>report</c>: a season told as one HTML file to read and to print, and its figures as CSV.</summary>
public static class ReportCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create(TimeProvider time)
    {
        var season = new Argument<string?>("SEASON")
        {
            Description = "The season, such as 2026/27 (default: the one that runs)",
            Arity = ArgumentArity.ZeroOrOne,
        };
        var garden = CommandRun.Garden();
        var file = new Option<string?>("--file") { HelpName = "FILE", Description = "Where the report goes (default: standard output)" };
        var csv = new Option<string?>("--csv") { HelpName = "FILE", Description = "Write windows, sprays and looks as CSV, too" };
        var overwrite = new Option<bool>("--overwrite") { Description = "Replace files that are there" };
        var demo = new Option<bool>("--demo") { Description = "The season of the invented garden of run --demo" };
        var command = new Command("report", "A season as one file to read and to print: windows, sprays, copper, looks, what was not known")
        {
            season,
            garden,
            file,
            csv,
            overwrite,
            demo,
        };
        command.SetAction((parsed, _) =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return CommandRun.GuardedAsync(error, async () =>
            {
                var isDemo = parsed.GetValue(demo);
                var now = isDemo ? DemoWeather.End : time.GetUtcNow();
                var read = isDemo ? DemoGarden.Create(1, "demo") : GardenProblemException.Read(parsed.GetValue(garden)!);
                foreach (var option in (Option<string?>[])[file, csv])
                {
                    if (!isDemo && parsed.GetValue(option) is { } target)
                        WrittenFile.KeepsOff(option.Name, target, read, parsed.GetValue(garden)!);
                }

                if (parsed.GetValue(file) is { } one && parsed.GetValue(csv) is { } other && WrittenFile.AreOne(one, other))
                    throw new CommandProblemException($"--file and --csv name the same file, {one}; give each its own.");
                List<string> findings = [];
                var sites = isDemo
                    ? [DemoSeason.Facts(read.Sites[0])]
                    : ReportSeason.Named(parsed.GetValue(season), read, now).Facts(findings);
                var view = ReportPage.Of(read.Name, sites, AlertWiring.WordsOf(read), now, isDemo ? null : read.Store.Path);
                var html = await ReportPage.TextAsync(view).ConfigureAwait(false);
                if (parsed.GetValue(csv) is { } table)
                {
                    using var text = new StringWriter();
                    ReportCsv.Write(sites, text);
                    await WriteAsync(csv.Name, table, parsed.GetValue(overwrite), text.ToString()).ConfigureAwait(false);
                }

                if (parsed.GetValue(file) is { } path)
                {
                    await WriteAsync(file.Name, path, parsed.GetValue(overwrite), html).ConfigureAwait(false);
                    output.Write($"The season {view.Season} of {read.Name} is told in {path}.\n");
                }
                else
                {
                    output.Write(html);
                }

                foreach (var finding in findings)
                    error.Write($"{finding}\n");
                return findings.Count > 0 ? ExitCode.Findings : ExitCode.Done;
            });
        });
        return command;
    }

    private static Task WriteAsync(string option, string path, bool mayReplace, string text) => ExportFile.WriteAsync(
        option,
        path,
        mayReplace,
        async stream => await stream.WriteAsync(System.Text.Encoding.UTF8.GetBytes(text)).ConfigureAwait(false));
}
