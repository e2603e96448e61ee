using System.Net;

namespace BackyardSentinel.Web;

public sealed class PageHouseTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task The_page_of_a_garden_is_valid_html_and_tells_how_the_garden_is()
    {
        var now = new DateTimeOffset(2027, 2, 6, 7, 0, 0, TimeSpan.Zero);
        await using var house = await PageHouse.OpenAsync(
            new PageGarden { Now = now, Past = [.. PageGarden.Weather(now.AddMinutes(-5), 30)] });

        var page = await house.GetAsync("/");

        Assert.Equal("Tannery Lane", page.QuerySelector("header b")!.TextContent);
        Assert.Contains("3 of 3 series fresh", page.QuerySelector(".asof")!.TextContent, StringComparison.Ordinal);
        Assert.Equal(["white-peach", "the gate"], page.QuerySelectorAll(".tree h2").Select(head => head.TextContent));
    }

    [Fact]
    public async Task While_the_loop_is_busy_the_page_says_so_and_asks_again_by_itself()
    {
        await using var house = await PageHouse.OpenAsync();
        using var isDone = new ManualResetEventSlim();
        var busy = house.Loop.AskAsync(
            _ =>
            {
                isDone.Wait(Ct);
                return true;
            },
            Ct);

        var asked = house.Browser.GetAsync(new Uri("/", UriKind.Relative), Ct);
        await Until.TrueAsync(
            () =>
            {
                house.Time.Advance(TimeSpan.FromSeconds(1));
                return asked.IsCompleted;
            },
            "the page gives up");
        using var answer = await asked;
        isDone.Set();
        await busy;

        Assert.Equal(HttpStatusCode.ServiceUnavailable, answer.StatusCode);
        Assert.Equal(TimeSpan.FromSeconds(20), answer.Headers.RetryAfter!.Delta);
        Assert.Equal(["20"], answer.Headers.GetValues("Refresh"));
        Assert.Contains(
            "This page asks again by itself", (await PageHouse.ParseAsync(answer)).Body!.TextContent, StringComparison.Ordinal);
        await house.GetAsync("/");
    }

    [Fact]
    public async Task In_the_home_network_who_has_no_key_gets_the_door_and_who_has_one_gets_in()
    {
        await using var house = await PageHouse.OpenAsync(new PageGarden { IsOnTheLan = true });
        using var stranger = house.BrowserWith(null);
        using var reader = house.BrowserWith(house.ReaderKey);

        Assert.Equal(HttpStatusCode.Unauthorized, (await stranger.GetAsync(new Uri("/", UriKind.Relative), Ct)).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await reader.GetAsync(new Uri("/", UriKind.Relative), Ct)).StatusCode);
        await house.GetAsync("/");
    }
}
