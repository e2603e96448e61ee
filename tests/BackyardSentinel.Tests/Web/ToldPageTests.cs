using System.Net;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;

namespace BackyardSentinel.Web;

/// <summary>Of the alerts that were told, the page shows the newest that waits for an answer, and each one where its link leads.</summary>
public sealed class ToldPageTests
{
    private static readonly PageGarden Garden = PageStates.All["clear"];

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Of_many_alerts_the_newest_that_waits_for_an_answer_is_shown()
    {
        await using var house = await PageHouse.OpenAsync(Garden with
        {
            Told =
            [
                .. Enumerable.Range(0, 300).Select(i => Told($"past-{i}", Garden.Now.AddHours(-25 - i), $"Past {i}")),
                Told("first", Garden.Now.AddHours(-23), "The first"),
                Told("second", Garden.Now.AddHours(-2), "The second"),
                Told("elsewhere", Garden.Now.AddHours(-1), "Of another site") with { Site = "elsewhere" },
                Told("over", Garden.Now.AddMinutes(-30), "Of no more use") with { UsefulUntil = Garden.Now.AddMinutes(-1) },
            ],
        });

        Assert.Contains("The second", await ShownAsync(house), StringComparison.Ordinal);
        using var second = await house.PostAsync("/alert/second", ("answer", "seen"));
        Assert.Contains("The first", await ShownAsync(house), StringComparison.Ordinal);
        using var first = await house.PostAsync("/alert/first", ("answer", "later"), ("later", "2h"));
        Assert.Null(await ShownAsync(house));
    }

    [Theory]
    [InlineData("past", "Past")]
    [InlineData("south-wall/level", "The newer of two")]
    [InlineData("older", "The older of two")]
    [InlineData("south-wall/b", "Several things")]
    public async Task However_old_an_alert_is_found_by_its_id_and_by_what_it_tells_of(string which, string title)
    {
        await using var house = await PageHouse.OpenAsync(Garden with
        {
            Told =
            [
                Told("past", Garden.Now.AddDays(-200), "Past"),
                Told("newer", Garden.Now.AddDays(-3), "The newer of two") with { Episode = "south-wall/level" },
                Told("older", Garden.Now.AddDays(-4), "The older of two") with { Episode = "south-wall/level" },
                Told("several", Garden.Now.AddDays(-5), "Several things") with
                {
                    Facts = new Dictionary<string, string> { [AlertMessage.EpisodesFact] = "south-wall/a\nsouth-wall/b" },
                },
            ],
        });

        Assert.Equal(title, (await house.GetAsync("/alert/" + which)).QuerySelector("h1")!.TextContent);
        using var none = await house.Browser.GetAsync(new Uri("/alert/south-wall/c", UriKind.Relative), Ct);
        Assert.Equal(HttpStatusCode.NotFound, none.StatusCode);
    }

    private static async Task<string?> ShownAsync(PageHouse house) =>
        (await house.GetAsync("/")).QuerySelector("form.told p")?.TextContent;

    private static AlertMessage Told(string id, DateTimeOffset at, string title) => new(
        id, id, "south-wall", [], "level", null, Urgency.Normal, at, at.AddDays(2), title, "text", AlertMessage.NoFacts);
}
