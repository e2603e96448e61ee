using System.CommandLine;
using System.CommandLine.Invocation;
using BackyardSentinel;
using BackyardSentinel.Commands;
using BackyardSentinel.Guards;

StandardStreams.Fill();
Console.OutputEncoding = System.Text.Encoding.UTF8;
if (UsageErrors.Empty(args) is { } empty)
{
    Console.Error.WriteLine(empty);
    return ExitCode.BadInput;
}

var verbose = new Option<bool>("--verbose") { Description = "Say more, with stack traces", Recursive = true };
var root = new RootCommand("Backyard Sentinel: watches your garden's weather for peach leaf curl") { verbose };
foreach (var command in CommandList.For(args.FirstOrDefault(), verbose, TimeProvider.System))
    root.Add(command);
var parsed = root.Parse(args);
try
{
    if (parsed.Action is ParseErrorAction || UsageErrors.Swallowed(parsed) is not null)
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
