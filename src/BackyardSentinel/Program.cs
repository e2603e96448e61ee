using System.CommandLine;
using BackyardSentinel.Commands;

Console.OutputEncoding = System.Text.Encoding.UTF8;
var root = new RootCommand("Backyard Sentinel: watches your garden's weather for peach leaf curl")
{
    ReplayCommand.Create(),
    CheckCommand.Create(),
};
return root.Parse(args).Invoke();
