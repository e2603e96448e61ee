using System.CommandLine;
using System.CommandLine.Invocation;
using BackyardSentinel.Commands;

Console.OutputEncoding = System.Text.Encoding.UTF8;
var verbose = new Option<bool>("--verbose") { Description = "Say more, with stack traces", Recursive = true };
var root = new RootCommand("Backyard Sentinel: watches your garden's weather for peach leaf curl")
{
    RunCommand.Create(verbose),
    ReplayCommand.Create(),
    JournalCommand.Create(TimeProvider.System),
    ExplainCommand.Create(TimeProvider.System),
    CalibrateCommand.Create(TimeProvider.System),
    AlertCommand.Create(TimeProvider.System),
    PlanCommand.Create(TimeProvider.System),
    CheckCommand.Create(),
    verbose,
};
var parsed = root.Parse(args);
if (parsed.Action is ParseErrorAction mistake)
    mistake.ShowHelp = false;
try
{
    var exitCode = await parsed.InvokeAsync(new InvocationConfiguration { ProcessTerminationTimeout = null, EnableDefaultExceptionHandler = false });
    return parsed.Errors.Count > 0 ? ExitCode.BadInput : exitCode;
}
catch (Exception failure)
{
    return Failure.Tell(failure, parsed.GetValue(verbose), Console.Error);
}
