using System.Net;
using System.Text.Json;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;

namespace BackyardSentinel.Web;

/// <summary>Alerts are answered on the page and by programs that ask it, in the same words as by topic and command.</summary>
public sealed class AnswerPageTests
{
    private const string Nobody = "No alert has the id or the episode \"none\", so there is nothing to answer.";

    private static readonly PageGarden Garden = PageStates.All["clear"];

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private static PageGarden Told => Garden with
    {
        Told =
        [
            new AlertMessage(
                "garden-summary-1", "garden-summary-1", "south-wall", [], "summary", null, Urgency.Normal, Garden.Now.AddHours(-1),
                Garden.Now.AddDays(1), "2 things", "text", new Dictionary<string, string> { ["episodes"] = "south-wall/a\nsouth-wall/b" }),
        ],
    };

    [Fact]
    public async Task A_summary_is_answered_for_all_that_it_lists_and_one_of_these_for_itself()
    {
        await using var house = await PageHouse.OpenAsync(Told);

        using var all = await house.PostAsync("/alert/garden-summary-1", ("answer", "seen"));
        using var one = await AskAsync(house, """{"episode":"south-wall/b","kind":"later","for":"6h"}""");
        var page = await house.GetAsync("/alert/garden-summary-1");

        Assert.Equal((HttpStatusCode.SeeOther, HttpStatusCode.NoContent), (all.StatusCode, one.StatusCode));
        Assert.Equal([("south-wall/a", "seen"), ("south-wall/b", "seen"), ("south-wall/b", "later")], Answers(house));
        Assert.Contains("Put off until", page.QuerySelector(".told")!.TextContent, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("en")]
    [InlineData("de")]
    public async Task An_alert_that_nobody_knows_is_told_and_nothing_is_stored(string language)
    {
        await using var house = await PageHouse.OpenAsync(Told with { File = $"language: {language}\n{Told.File}" });

        using var form = await house.PostAsync("/alert/none", ("answer", "seen"));
        using var program = await AskAsync(house, """{"episode":"none","kind":"seen"}""");
        using var problem = JsonDocument.Parse(await program.Content.ReadAsStringAsync(Ct));

        Assert.Equal((HttpStatusCode.NotFound, HttpStatusCode.NotFound), (form.StatusCode, program.StatusCode));
        Assert.Equal(
            language == "en" ? Nobody : "Keine Meldung hat die Kennung oder Episode „none“, es gibt also nichts zu beantworten.",
            (await PageHouse.ParseAsync(form)).QuerySelector("h1")!.TextContent);
        Assert.Equal(Nobody, problem.RootElement.GetProperty("detail").GetString());
        Assert.Empty(Answers(house));
    }

    private static async Task<HttpResponseMessage> AskAsync(PageHouse house, string answer)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, "/api/answer") { Content = new StringContent(answer) };
        request.Headers.Add("Sentinel-Write", "1");
        return await house.Browser.SendAsync(request, Ct);
    }

    private static IEnumerable<(string, string)> Answers(PageHouse house)
    {
        using var book = AnswerBook.Reading(house.File.Store.Path);
        return book.Rows().Select(row => (row.Episode, row.Kind));
    }
}
