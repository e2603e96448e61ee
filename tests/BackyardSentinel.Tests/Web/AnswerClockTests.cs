using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Web;

/// <summary>An alert is answered by the garden's clock and read by the site's zone, whatever the clock of the computer says.</summary>
public sealed class AnswerClockTests
{
    // At eight in the evening "this evening" would be tomorrow's: a day of silence that nobody means.
    [Theory]
    [InlineData(9, true, "Put off until 19:00.")]
    [InlineData(10.5, true, "Put off until 19:00.")]
    [InlineData(10.7, false, "Put off until ")]
    [InlineData(15, false, "Put off until ")]
    public async Task This_evening_is_offered_while_it_is_to_come(double hoursLater, bool isOffered, string told)
    {
        var garden = PageStates.All["possible"];
        const string Id = "south-wall/white-peach/20270304t0510z";
        await using var house = await PageHouse.OpenAsync(garden with
        {
            Now = garden.Now.AddHours(hoursLater),
            Told =
            [
                new AlertMessage(
                    Id, Id, "south-wall", ["white-peach"], "level-risen", Level.Possible, Urgency.Normal, garden.Now, garden.Now.AddDays(2),
                    "Curl weather possible: white-peach", "Wet since 21:40.", AlertMessage.NoFacts),
            ],
        });
        var form = await house.GetAsync("/alert/" + Uri.EscapeDataString(Id));
        Assert.Equal(isOffered, form.QuerySelector("#later-evening") is not null);
        Assert.Equal(isOffered ? "later-evening" : "later-2h", form.QuerySelector("input[checked]")!.Id);

        using var answered = await house.PostAsync("/alert/" + Uri.EscapeDataString(Id), ("answer", "later"), ("later", "evening"));
        var page = await house.GetAsync("/alert/" + Uri.EscapeDataString(Id));
        var until = page.QuerySelector(".told")!.TextContent.Replace('\u00a0', ' ');
        Assert.Contains(told, until, StringComparison.Ordinal);
        Assert.Equal(isOffered, until.Contains("19:00", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("later", "2h", "Put off until 10:20.")]
    [InlineData("later", "evening", "Put off until 19:00.")]
    [InlineData("later", "morning", "Put off until Fri 5 March, 07:00.")]
    [InlineData("seen", "2h", "Seen at 08:20")]
    public async Task Later_counts_from_the_gardens_now(string answer, string wait, string told)
    {
        var garden = PageStates.All["possible"];
        const string Id = "south-wall/white-peach/20270304t0510z";
        await using var house = await PageHouse.OpenAsync(garden with
        {
            Told =
            [
                new AlertMessage(
                    Id, Id, "south-wall", ["white-peach"], "level-risen", Level.Possible, Urgency.Normal, garden.Now.AddHours(-1),
                    garden.Now.AddDays(1), "Curl weather possible: white-peach", "Wet since 21:40.", AlertMessage.NoFacts),
            ],
        });

        using var answered = await house.PostAsync("/alert/" + Uri.EscapeDataString(Id), ("answer", answer), ("later", wait));
        var page = await house.GetAsync("/alert/" + Uri.EscapeDataString(Id));

        Assert.Equal(System.Net.HttpStatusCode.SeeOther, answered.StatusCode);
        Assert.Contains(told, page.QuerySelector(".told")!.TextContent.Replace('\u00a0', ' '), StringComparison.Ordinal);
    }
}
