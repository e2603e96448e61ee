using System.CommandLine;
using System.CommandLine.Invocation;
using BackyardSentinel.Commands;
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
using BackyardSentinel.Commands.Store;

Console.OutputEncoding = System.Text.Encoding.UTF8;
var verbose = new Option<bool>("--verbose") { Description = "Say more, with stack traces", Recursive = true };
var root = new RootCommand("Backyard Sentinel: watches your garden's weather for peach leaf curl") { verbose };
(string Name, Func<Command> Create)[] commands =
[
    ("run", () => RunCommand.Create(verbose)),
    ("replay", ReplayCommand.Create),
    ("journal", () => JournalCommand.Create(TimeProvider.System)),
    ("plan", () => PlanCommand.Create(TimeProvider.System)),
    ("explain", () => ExplainCommand.Create(TimeProvider.System)),
    ("refused", RefusedCommand.Create),
    ("report", () => ReportCommand.Create(TimeProvider.System)),
    ("export", ExportCommand.Create),
    ("fit", () => FitCommand.Create(TimeProvider.System)),
    ("alert", () => AlertCommand.Create(TimeProvider.System)),
    ("backup", () => BackupCommand.Create(TimeProvider.System)),
    ("restore", () => RestoreCommand.Create(TimeProvider.System)),
    ("check", CheckCommand.Create),
    ("examine", () => ExamineCommand.Create(TimeProvider.System)),
    ("page", PageCommand.Create),
    ("listen", () => ListenCommand.Create(TimeProvider.System)),
];
// The one that is named is made alone, which spares a tenth of a second; help and mistakes see them all.
var named = commands.Where(command => command.Name == args.FirstOrDefault()).ToArray();
foreach (var (_, create) in named.Length > 0 ? named : commands)
    root.Add(create());
var parsed = root.Parse(args);
try
{
    if (parsed.Action is ParseErrorAction)
    {
        if (!UsageErrors.Tell(parsed, Console.Error))
            await root.Parse([.. args, "--help"]).InvokeAsync();
        return ExitCode.BadInput;
    }

    return await parsed.InvokeAsync(
        new InvocationConfiguration { ProcessTerminationTimeout = null, EnableDefaultExceptionHandler = false });
}
catch (Exception failure)
{
    return Failure.Tell(failure, parsed.GetValue(verbose), Console.Error);
}
