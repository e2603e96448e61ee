using System.Text;
using Xunit;

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
    public void The_urgency_is_one_of_three_words() => Assert.Throws<ArgumentException>(() => Some.Alert("a") with { Urgency = "panic" });
}
