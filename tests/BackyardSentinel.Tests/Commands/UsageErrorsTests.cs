using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Alerts;
using BackyardSentinel.Commands.Fit;
using BackyardSentinel.Commands.Journal;
using BackyardSentinel.Commands.Plan;
using BackyardSentinel.Commands.Report;
using BackyardSentinel.Commands.Run;

namespace BackyardSentinel.Tests.Commands;

public class UsageErrorsTests
{
    [Theory]
    [InlineData("The program has no command \"jurnal\"; it has journal, fit, alert. Did you mean journal?\n", "jurnal")]
    [InlineData("'journal list' has no option --everything.\n", "journal", "list", "--everything")]
    [InlineData("'alert seen' has no option --all.\n", "alert", "seen", "--all", "white-peach/window/20270303T080000Z")]
    [InlineData(
        "'journal add stage' takes no \"swell\". A text with spaces needs quotation marks round it.\n",
        "journal",
        "add",
        "stage",
        "bud",
        "swell"
    )]
    [InlineData("NUMBER: \"x\" is no whole number.\n", "journal", "withdraw", "x")]
    [InlineData("PERCENT: \"most\" is no number.\n", "journal", "add", "leaf-fall", "most")]
    [InlineData("--curled: \"many\" is no whole number.\n", "journal", "add", "scout", "--curled", "many")]
    [InlineData("--curled is missing: shoots with leaf curl among them.\n", "journal", "add", "scout")]
    [InlineData("STAGE is missing: shut, swell, green-tip,", "journal", "add", "stage")]
    [InlineData("--garden needs a value after it.\n", "journal", "list", "--garden")]
    [InlineData("--garden stands here more than once; give it once.\n", "journal", "list", "--garden", "a", "--garden", "b")]
    [InlineData(
        "\"sore\" cannot stand here; it is one of puckered, curled, white-bloom, dropping.\n",
        "journal",
        "add",
        "scout",
        "--curled",
        "3",
        "--symptom",
        "sore"
    )]
    public void A_mistake_is_one_sentence_without_words_of_the_framework(string sentence, params string[] words)
    {
        var (told, error) = Tell(words);

        Assert.True(told);
        Assert.StartsWith(sentence, error, StringComparison.Ordinal);
        Assert.DoesNotContain("System.", error, StringComparison.Ordinal);
        Assert.Single(error.TrimEnd('\n').Split('\n'));
    }

    [Theory]
    [InlineData]
    [InlineData("journal")]
    [InlineData("journal", "add")]
    [InlineData("alert")]
    public void A_command_that_stops_halfway_is_answered_with_its_help(params string[] words) =>
        Assert.Equal((false, ""), Tell(words));

    [Theory]
    [InlineData("--file needs a value after it, and \"\" is none.", "export", "readings", "--file", "")]
    [InlineData("--file needs a value behind it, and there is none.", "export", "readings", "--file=", "--garden", "g.yaml")]
    [InlineData("An empty text stands for a name; name what is meant, or leave it out.", "backup", "")]
    [InlineData(null, "listen", "--payload", "")]
    [InlineData(null, "listen", "--payload", "t=")]
    [InlineData(null, "replay", "a.csv", "--json")]
    public void Nothing_that_stands_for_something_is_told(string? sentence, params string[] words) =>
        Assert.Equal(sentence, UsageErrors.Empty(words));

    [Theory]
    [InlineData("--file needs a value after it, and --overwrite is an option itself.", "report", "--file", "--overwrite")]
    [InlineData("--ics needs a value after it, and --json is an option itself.", "plan", "--ics", "--json")]
    [InlineData(null, "plan", "--ics", "--json.ics")]
    public void An_option_is_no_value_of_another_one(string? sentence, params string[] words)
    {
        var time = new FakeTimeProvider();
        var parsed = new RootCommand { PlanCommand.Create(time), ReportCommand.Create(time) }.Parse(words);

        Assert.Equal(sentence, UsageErrors.Swallowed(parsed));
    }

    [Theory]
    [InlineData("--demo-seconds says how long the demo takes; add --demo.\n", "run", "--demo-seconds", "20")]
    [InlineData("--time-from-readings is for a garden of yours; --demo has a clock of its own.\n", "run", "--demo", "--time-from-readings")]
    public void Options_of_the_demo_and_of_a_garden_do_not_go_together(string sentence, params string[] words)
    {
        using StringWriter error = new();

        Assert.True(UsageErrors.Tell(new RootCommand { RunCommand.Create(new Option<bool>("--verbose")) }.Parse(words), error));
        Assert.Equal(sentence, error.ToString().ReplaceLineEndings("\n"));
    }

    private static (bool Told, string Error) Tell(string[] words)
    {
        var time = new FakeTimeProvider();
        var root = new RootCommand { JournalCommand.Create(time), FitCommand.Create(time), AlertCommand.Create(time) };
        using StringWriter error = new();
        var parsed = root.Parse(words);
        Assert.NotEmpty(parsed.Errors);
        return (UsageErrors.Tell(parsed, error), error.ToString().ReplaceLineEndings("\n"));
    }
}
