using BackyardSentinel.Events;
using BackyardSentinel.Hosting;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Tests.Hosting;

public class NarratorTests
{
    // Twenty wet hours at 9.5 °C with 10 mm, all on one day.
    [Theory]
    [InlineData(RuleName.WetHours, 0.5, "the wet spell is over: 20.0 wet hours, 10 mm, mean 9.5 °C\n")]
    [InlineData(RuleName.WetHours, 0.1, "the wet spell is over: 20.0 wet hours, 2 mm, mean 9.5 °C; too little rain measured to infect\n")]
    [InlineData(RuleName.RainDay, 0.5, "10 mm, mean 9.5 °C; too little rain measured on one day to infect\n")]
    [InlineData(RuleName.RainDay, 0.6, "12 mm, mean 9.5 °C\n")]
    [InlineData(RuleName.TwoDay, 0.5, "10 mm, mean 9.5 °C; too short at 8 to 16 °C to infect\n")]
    public void Why_a_spell_that_is_over_opened_nothing_is_told_by_the_rule_that_gives_the_level(RuleName rule, double rainMm, string told)
    {
        using var text = new StringWriter { NewLine = "\n" };
        var narrator = new Narrator(text);
        var site = new Site { Id = "yard", LevelRule = rule.Word(), Plantings = [new Planting("peach", Stage: 9)] };
        SiteWatch watch = null!;
        watch = new SiteWatch(site, fact => narrator.Tell("yard", watch, fact));
        Feed(watch, 30, rainMm);

        Assert.Contains(told, text.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_told_when_more_has_been_judged_has_no_figures_of_now()
    {
        using StringWriter atOnce = new() { NewLine = "\n" }, later = new() { NewLine = "\n" };
        var (first, second) = (new Narrator(atOnce), new Narrator(later));
        var site = new Site { Id = "yard", Plantings = [new Planting("peach", Stage: 9)] };
        List<SentinelEvent> facts = [];
        SiteWatch watch = null!;
        watch = new SiteWatch(
            site,
            fact =>
            {
                facts.Add(fact);
                first.Tell("yard", watch, fact);
            });
        Feed(watch, 19, rainMm: 0.5);
        foreach (var fact in facts)
            second.Tell("yard", watch, fact);

        Assert.Contains("an infection window opens: 12.5 wet hours, ", atOnce.ToString(), StringComparison.Ordinal);
        Assert.Contains("an infection window opened\n", later.ToString(), StringComparison.Ordinal);
    }

    private static void Feed(SiteWatch watch, int hours, double rainMm)
    {
        var begin = new DateTimeOffset(2027, 3, 1, 0, 0, 0, TimeSpan.Zero);
        foreach (var hour in Enumerable.Range(0, hours))
        {
            Take(Quantity.Temperature, 9.5);
            Take(Quantity.Humidity, hour < 20 ? 96 : 50);
            Take(Quantity.Rain, hour < 20 ? rainMm : 0);

            void Take(Quantity quantity, double value) =>
                watch.Accept(new Reading(quantity, begin.AddHours(hour), value, TimeSpan.FromHours(1)), begin.AddHours(hour));
        }
    }
}
