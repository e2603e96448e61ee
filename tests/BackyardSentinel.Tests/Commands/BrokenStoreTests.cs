using System.CommandLine;
using BackyardSentinel.Commands;

namespace BackyardSentinel.Tests.Commands;

/// <summary>A store of which the disk has spoilt a page: what needs that page says so, and what to do.</summary>
public sealed class BrokenStoreTests : IDisposable
{
    private static readonly DateTimeOffset Noon = ExplainGarden.Utc(2027, 3, 4, 12);
    private readonly ExplainGarden _garden = new();

    public void Dispose() => _garden.Dispose();

    [Theory]
    [InlineData("readings", "explain")]
    [InlineData("readings", "plan")]
    [InlineData("readings", "fit --planting white-peach")]
    [InlineData("readings", "tune")]
    [InlineData("readings", "report 2026/27")]
    [InlineData("readings", "export readings")]
    [InlineData("readings", "export intervals")]
    [InlineData("readings", "replay sentinel.db")]
    [InlineData("readings", "backup copy.db")]
    [InlineData("readings", "backup copy.db --dry-run")]
    [InlineData("hourly", "export hours")]
    [InlineData("journal", "journal list")]
    [InlineData("journal", "plan")]
    [InlineData("journal", "export copper")]
    [InlineData("outbox", "alert list")]
    [InlineData("quarantine", "refused")]
    [InlineData("hours", "backup copy.db --dry-run")]
    public void Commands_say_that_it_is_damaged_and_what_to_do(string table, string command)
    {
        Break(table);

        var (code, output, error) = Run(command);

        Assert.Contains("damaged", error, StringComparison.Ordinal);
        Assert.Matches("[Ss]tart the service", error);
        Assert.NotEqual(ExitCode.Done, code);
    }

    [Theory]
    [InlineData("explain")]
    [InlineData("export readings")]
    public void So_they_do_where_reading_breaks_off_on_the_way(string command)
    {
        _garden.Weather(Noon.AddDays(-9), Noon, 9);
        SampleStore.BreakPage(_garden.Store, "readings", isLast: true);

        var (code, _, error) = Run(command);

        Assert.Contains("damaged", error, StringComparison.Ordinal);
        Assert.NotEqual(ExitCode.Done, code);
    }

    [Fact]
    public void The_examination_names_it_among_what_is_wrong()
    {
        Break("readings");

        var (_, output, error) = Run("examine --for 1s");

        Assert.Matches("(?m)^wrong +store +The store .* is damaged", output);
        Assert.Contains("restore a backup, or start it again", output, StringComparison.Ordinal);
        Assert.DoesNotContain("damaged", error, StringComparison.Ordinal);
    }

    private void Break(string table)
    {
        _garden.Weather(Noon.AddDays(-9), Noon, 9).Saw("2027-03-02", 9);
        SampleStore.BreakPage(_garden.Store, table);
    }

    private (int Code, string Output, string Error) Run(string words)
    {
        var arguments = words.Split(' ');
        StringWriter output = new(), error = new();
        var root = new RootCommand { new Option<bool>("--verbose") { Recursive = true } };
        foreach (var command in CommandList.For(arguments[0], (Option<bool>)root.Options[^1], new FakeTimeProvider(Noon)))
            root.Add(command);
        string[] named = [.. arguments.Select(word => word switch
        {
            "sentinel.db" => _garden.Store,
            "copy.db" => Path.Combine(_garden.Folder, word),
            _ => word,
        })];
        var code = root.Parse([.. named, "--garden", _garden.Garden])
            .Invoke(new InvocationConfiguration { Output = output, Error = error, EnableDefaultExceptionHandler = false });
        return (code, output.ToString(), error.ToString());
    }
}
