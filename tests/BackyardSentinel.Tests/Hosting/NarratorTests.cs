using BackyardSentinel.Hosting;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Tests.Hosting;

public class NarratorTests
{
    // Twenty wet hours at 9.5 °C with 10 mm, all on one day.
    [Theory]
    [InlineData(RuleName.WetHours, 0.5, "the wet spell is over: 20.0 wet hours, 10 mm, mean 9.5 °C\n")]
    [InlineData(RuleName.WetHours, 0.1, "the wet spell is over: 20.0 wet hours, 2 mm, mean 9.5 °C; too little rain to infect\n")]
    [InlineData(RuleName.RainDay, 0.5, "10 mm, mean 9.5 °C; too little rain on one day to infect\n")]
    [InlineData(RuleName.RainDay, 0.6, "12 mm, mean 9.5 °C\n")]
    [InlineData(RuleName.TwoDay, 0.5, "10 mm, mean 9.5 °C; too short at 8 to 16 °C to infect\n")]
    public void Why_a_spell_that_is_over_opened_nothing_is_told_by_the_rule_that_gives_the_level(RuleName rule, double rainMm, string told)
    {
        using var text = new StringWriter { NewLine = "\n" };
        var narrator = new Narrator(text);
        var site = new Site { Id = "yard", LevelRule = rule.Word(), Plantings = [new Planting("peach", Stage: 9)] };
        SiteWatch watch = null!;
        watch = new SiteWatch(site, fact => narrator.Tell("yard", watch, fact));
        var begin = new DateTimeOffset(2027, 3, 1, 0, 0, 0, TimeSpan.Zero);
        foreach (var hour in Enumerable.Range(0, 30))
        {
            Take(Quantity.Temperature, 9.5);
            Take(Quantity.Humidity, hour < 20 ? 96 : 50);
            Take(Quantity.Rain, hour < 20 ? rainMm : 0);

            void Take(Quantity quantity, double value) =>
                watch.Accept(new Reading(quantity, begin.AddHours(hour), value, TimeSpan.FromHours(1)), begin.AddHours(hour));
        }

        Assert.Contains(told, text.ToString(), StringComparison.Ordinal);
    }
}
