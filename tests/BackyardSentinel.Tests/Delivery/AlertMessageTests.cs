using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Delivery;

public sealed class AlertMessageTests
{
    [Fact]
    public void An_alert_is_read_back_as_it_was_written()
    {
        var alert = Some.Alert("white-peach-likely") with
        {
            Facts = new Dictionary<string, string> { ["rain_mm"] = "13.6", ["wet_hours"] = "24.8" },
        };
        var again = AlertJson.Read(Encoding.UTF8.GetString(AlertJson.Write(alert)));

        Assert.NotNull(again);
        Assert.Equal(alert.Facts, again.Facts);
        Assert.Equal(alert.Plantings, again.Plantings);
        Assert.Equal(
            alert with
            {
                Facts = AlertMessage.NoFacts,
                Plantings = [],
            },
            again with
            {
                Facts = AlertMessage.NoFacts,
                Plantings = [],
            });
    }

    [Fact]
    public void A_level_that_fell_before_it_was_told_says_so_in_its_facts_and_one_that_stands_does_not()
    {
        var stands = ExampleAlerts.OfEveryKind()[0];
        var fell = stands with { Occasions = [(LevelRisen)stands.Occasions[0] with { FellAt = stands.At.AddHours(3) }] };

        Assert.Equal("2027-03-04T12:10:00Z", new AlertText("t", "b").For(fell).Facts["fell_at"]);
        Assert.DoesNotContain("fell_at", new AlertText("t", "b").For(stands).Facts.Keys);
    }

    [Fact]
    public void Of_plantings_that_differ_the_facts_are_the_most_urgent_ones_but_the_level_is_the_highest()
    {
        var first = (LevelRisen)ExampleAlerts.OfEveryKind()[0].Occasions[0];
        var second = new LevelRisen(first.Site!, "gate-nectarine", first.At, Level.Severe, Level.Possible, first.At, first.SpellStart)
        {
            Rule = first.Rule,
            LookFrom = first.LookFrom,
            WetHours = 50,
        };

        var facts = new AlertText("t", "b").For(Alert.Together([first, second], first.At)).Facts;

        Assert.Equal(("severe", "4", "24.8"), (facts["level"], facts["level_number"], facts["wet_hours"]));
        Assert.Equal([first.Episode, second.Episode], facts["episodes"].Split('\n'));
    }

    [Theory]
    [InlineData("")]
    [InlineData("{}")]
    [InlineData("[1]")]
    [InlineData("{\"id\":5}")]
    public void What_is_no_alert_is_not_read(string text) => Assert.Null(AlertJson.Read(text));

    [Theory]
    [InlineData("a.b")]
    [InlineData("")]
    [InlineData("a b")]
    [InlineData("a\nb")]
    public void An_id_that_headers_or_signatures_cannot_hold_is_refused(string id) =>
        Assert.Throws<ArgumentException>(() => Some.Alert(id));

    [Fact]
    public void The_urgency_is_one_of_three_words()
    {
        var text = Encoding.UTF8.GetString(AlertJson.Write(Some.Alert("a")));

        Assert.Contains("\"urgency\":\"high\"", text, StringComparison.Ordinal);
        Assert.Null(AlertJson.Read(text.Replace("\"high\"", "\"panic\"", StringComparison.Ordinal)));
    }
}
