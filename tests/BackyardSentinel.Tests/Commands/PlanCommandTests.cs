using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Plan;

namespace BackyardSentinel.Tests.Commands;

public sealed class PlanCommandTests
{
    private static readonly string Garden = Path.Combine(PlanRun.Root, "without-a-forecast", "garden.yaml");

    [Theory]
    [InlineData(
        "--at yesterday",
        "--at: \"yesterday\" is no time such as 2027-01-15T08:00:00Z, or 2027-01-15T09:00 by the site's clock.\n"
    )]
    [InlineData("--site north-wall", "without-a-forecast/garden.yaml has no site north-wall; it has south-wall.\n")]
    [InlineData("--forecast nowhere.json", "--forecast: there is no file nowhere.json.\n")]
    [InlineData("--mix red-tub", "--mix: the garden file has no product red-tub; it has winter-copper.\n")]
    [InlineData("--volume 5L", "--volume says how much to mix; name the product with --mix.\n")]
    [InlineData("--mix winter-copper --volume -5L", "--volume: \"-5L\" is no amount of spray; write it like \"5 L\" or \"1.5 gal\".\n")]
    [InlineData("--json --ics -", "--json and --ics - exclude each other; name a file for the calendar.\n")]
    public void A_wish_that_cannot_be_met_gets_one_sentence_and_exit_code_2(string words, string sentence)
    {
        var at = words.StartsWith("--at", StringComparison.Ordinal) ? "" : "--at 2027-01-15T07:30:00Z ";
        var (code, output, error) = PlanRun.Run($"--garden {Garden} {at}{words}".Split(' '));
        Assert.Equal((ExitCode.BadInput, "", sentence), (code, output, error));
    }

    [Fact]
    public void A_journal_that_is_not_there_ends_with_2_and_a_broken_garden_with_78()
    {
        var (code, _, error) = PlanRun.Run("--garden", Garden, "--journal", Path.Combine(PlanRun.Root, "none.jsonl"));
        Assert.Equal(ExitCode.BadInput, code);
        Assert.StartsWith("The journal none.jsonl cannot be read", error, StringComparison.Ordinal);
        Assert.Equal(ExitCode.BadConfiguration, PlanRun.Run("--garden", Path.Combine(PlanRun.Root, "shared", "error-page.html")).Code);
    }

    [Fact]
    public void A_moment_by_the_sites_clock_is_the_same_moment()
    {
        string[] arguments = ["--garden", Garden, "--json", "--at"];
        Assert.Equal(PlanRun.Run([.. arguments, "2027-01-15T07:30:00Z"]).Output, PlanRun.Run([.. arguments, "2027-01-15T08:30"]).Output);
    }

    [Fact]
    public void A_mix_in_US_units_agrees_with_one_in_litres()
    {
        // NIST Handbook 44, appendix C: 1 gal is 3.785411784 L, 1 oz is 28.349523125 g; 5 g/L make 0.6676 oz/gal.
        var (_, output, _) = PlanRun.Run([.. PlanRun.Arguments("southern-garden"), "--volume", "3 gal"]);
        Assert.Contains("\n  3 gal of water, 2 oz of product\n", output, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_refused_is_not_mixed()
    {
        var (code, output, error) = PlanRun.Run([.. PlanRun.Arguments("after-bud-swell"), "--mix", "winter-copper"]);
        Assert.Equal(ExitCode.Findings, code);
        Assert.DoesNotContain("Tank mix", output, StringComparison.Ordinal);
        Assert.Equal(
            "No winter-copper is mixed for white-peach: leaves or petals are open (stage 10): "
                + "copper burns them and no longer helps against curl.\n",
            error);
    }

    [Fact]
    public void The_page_on_plan_names_exactly_the_options_that_plan_has()
    {
        var has = PlanCommand.Create(TimeProvider.System).Options.Select(option => option.Name).Where(name => name != "--help");
        var page = File.ReadAllText(Checkout.Path("docs", "plan.md"));
        var named = System.Text.RegularExpressions.Regex.Matches(page, "`(--[a-z-]+)").Select(match => match.Groups[1].Value);
        Assert.Equal(has.Order(StringComparer.Ordinal), named.Distinct().Order(StringComparer.Ordinal));
    }
}
