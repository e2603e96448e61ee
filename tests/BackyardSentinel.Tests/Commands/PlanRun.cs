using System.CommandLine;
using BackyardSentinel.Commands.Plan;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Runs <c>plan</c> within the test, on the invented gardens of tests/scenarios/plan.</summary>
internal static class PlanRun
{
    public static string Root { get; } = Checkout.Path("tests", "scenarios", "plan");

    public static string[] Scenarios { get; } =
    [
        .. Directory
            .EnumerateDirectories(Root)
            .Select(folder => Path.GetFileName(folder)!)
            .Where(name => name != "shared")
            .Order(StringComparer.Ordinal),
    ];

    /// <summary>The arguments with which a scenario is told, files as whole paths.</summary>
    public static string[] Arguments(string scenario) =>
        [
            .. File.ReadAllText(Path.Combine(Root, scenario, "command.txt"))
                .Trim()
                .Split(' ')
                .Select(word => word.Contains('/', StringComparison.Ordinal) ? Path.Combine(Root, word) : word),
        ];

    public static (int Code, string Output, string Error) Run(params string[] arguments)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        // A clock that no scenario may need.
        var clock = new FakeTimeProvider(new DateTimeOffset(2031, 5, 6, 7, 8, 9, TimeSpan.Zero));
        var code = PlanCommand
            .Create(clock)
            .Parse(arguments)
            .Invoke(
                new InvocationConfiguration
                {
                    Output = output,
                    Error = error,
                    EnableDefaultExceptionHandler = false,
                });
        return (code, Shown(output), Shown(error));
    }

    private static string Shown(StringWriter text) =>
        text.ToString()
            .Replace(Root + Path.DirectorySeparatorChar, "", StringComparison.Ordinal)
            .Replace(Environment.NewLine, "\n", StringComparison.Ordinal);
}
