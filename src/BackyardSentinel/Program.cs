using System.CommandLine;
using System.CommandLine.Invocation;
using BackyardSentinel.Commands;

Console.OutputEncoding = System.Text.Encoding.UTF8;
var verbose = new Option<bool>("--verbose") { Description = "Say more, with stack traces", Recursive = true };
var root = new RootCommand("Backyard Sentinel: watches your garden's weather for peach leaf curl")
{
    RunCommand.Create(verbose),
    ReplayCommand.Create(),
    CheckCommand.Create(),
    verbose,
};
var parsed = root.Parse(args);
try
{
    if (parsed.Action is ParseErrorAction misused)
        misused.ShowHelp = false;
    var code = await parsed.InvokeAsync(new InvocationConfiguration { ProcessTerminationTimeout = null, EnableDefaultExceptionHandler = false });
    return parsed.Action is ParseErrorAction ? ExitCode.BadInput : code;
}
catch (Exception failure)
{
    return Failure.Tell(failure, parsed.GetValue(verbose), Console.Error);
}
