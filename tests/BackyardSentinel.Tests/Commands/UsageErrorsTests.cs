using System.CommandLine;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Alerts;
using BackyardSentinel.Commands.Fit;
using BackyardSentinel.Commands.Journal;

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
