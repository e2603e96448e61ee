using System.CommandLine;
using BackyardSentinel.Commands;

Console.OutputEncoding = System.Text.Encoding.UTF8;
var root = new RootCommand("Backyard Sentinel: watches your garden's weather for peach leaf curl")
{
    RunCommand.Create(),
    ReplayCommand.Create(),
    CheckCommand.Create(),
};
return await root.Parse(args).InvokeAsync(new InvocationConfiguration { ProcessTerminationTimeout = null });
