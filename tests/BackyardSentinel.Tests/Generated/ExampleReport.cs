using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Report;

namespace BackyardSentinel.Tests.Generated;

/// <summary>docs/examples/year/season-2025-26.html, the report of the invented garden's year, as the command writes it.</summary>
internal static class ExampleReport
{
    public static GeneratedFile File { get; } = new("docs/examples/year/season-2025-26.html", _ => Make());

    private static string Make()
    {
        using var output = new StringWriter(CultureInfo.InvariantCulture);
        var time = new FakeTimeProvider(new DateTimeOffset(2026, 9, 1, 0, 0, 0, TimeSpan.Zero));
        var code = ReportCommand.Create(time)
            .Parse(["2025/26", "--garden", Checkout.Path("docs", "examples", "year", "garden.yaml")])
            .Invoke(new InvocationConfiguration { Output = output, Error = TextWriter.Null, EnableDefaultExceptionHandler = false });
        return code is ExitCode.Done or ExitCode.Findings
            ? output.ToString()
            : throw new InvalidOperationException($"The example's report could not be made; the command ended with {code}.");
    }
}
