using System.CommandLine;
using BackyardSentinel.Commands.Alerts;
using BackyardSentinel.Commands.Check;
using BackyardSentinel.Commands.Examine;
using BackyardSentinel.Commands.Explain;
using BackyardSentinel.Commands.Export;
using BackyardSentinel.Commands.Fit;
using BackyardSentinel.Commands.Journal;
using BackyardSentinel.Commands.Listen;
using BackyardSentinel.Commands.Page;
using BackyardSentinel.Commands.Plan;
using BackyardSentinel.Commands.Refused;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Commands.Report;
using BackyardSentinel.Commands.Run;
using BackyardSentinel.Commands.SetUp;
using BackyardSentinel.Commands.Store;
using BackyardSentinel.Commands.Tune;

namespace BackyardSentinel;

/// <summary>Every command that there is, in the order of the help.</summary>
public static class CommandList
{
    /// <summary>
    /// The command that is named, made alone, which spares a tenth of a second; all of them where none of the name is, for
    /// help and mistakes see them all.
    /// </summary>
    /// <param name="name">The first word of the command line; <c>null</c>: there is none.</param>
    /// <param name="verbose">The option of all.</param>
    /// <param name="time">The clock.</param>
    public static IEnumerable<Command> For(string? name, Option<bool> verbose, TimeProvider time)
    {
        (string Name, Func<Command> Create)[] all =
        [
            ("run", () => RunCommand.Create(verbose)),
            ("set-up", () => SetUpCommand.Create(time, Console.In)),
            ("replay", ReplayCommand.Create),
            ("tune", TuneCommand.Create),
            ("journal", () => JournalCommand.Create(time)),
            ("plan", () => PlanCommand.Create(time)),
            ("explain", () => ExplainCommand.Create(time)),
            ("refused", RefusedCommand.Create),
            ("report", () => ReportCommand.Create(time)),
            ("export", ExportCommand.Create),
            ("fit", () => FitCommand.Create(time)),
            ("alert", () => AlertCommand.Create(time)),
            ("backup", () => BackupCommand.Create(time)),
            ("restore", () => RestoreCommand.Create(time)),
            ("check", CheckCommand.Create),
            ("examine", () => ExamineCommand.Create(time)),
            ("page", PageCommand.Create),
            ("listen", () => ListenCommand.Create(time)),
        ];
        var named = all.Where(command => command.Name == name).ToArray();
        return (named.Length > 0 ? named : all).Select(command => command.Create());
    }
}
