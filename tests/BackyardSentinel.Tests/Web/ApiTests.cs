using System.Net;
using System.Text.Json;
using System.Text.Json.Nodes;
using Calendar = Ical.Net.Calendar;
using Json.Schema;

namespace BackyardSentinel.Web;

/// <summary>What programs get: by the documents that describe it, read by libraries of others.</summary>
public sealed class ApiTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("/api/garden", "garden-now")]
    [InlineData("/api/journal", "journal")]
    [InlineData("/api/plan", "plan")]
    public async Task A_document_satisfies_its_schema(string path, string schema)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["covered"]);

        var text = await house.Browser.GetStringAsync(new Uri(path, UriKind.Relative), Ct);

        var rules = JsonSchema.FromText(await File.ReadAllTextAsync(Tests.Checkout.Path("docs", "schemas", $"{schema}.schema.json"), Ct));
        Assert.True(rules.Evaluate(JsonDocument.Parse(text).RootElement).IsValid, text);
    }

    [Fact]
    public async Task Every_address_of_the_document_is_there_and_answers_as_it_says()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["covered"]);
        var document = JsonNode.Parse(await house.Browser.GetStringAsync(new Uri("/api/openapi.json", UriKind.Relative), Ct))!;

        Assert.Equal("3.1.0", document["openapi"]!.GetValue<string>());
        foreach (var (path, operations) in document["paths"]!.AsObject())
        {
            if (operations!["get"]?["responses"]!["200"]!["content"] is not JsonObject content)
                continue;
            using var answer = await house.Browser.GetAsync(new Uri(path, UriKind.Relative), HttpCompletionOption.ResponseHeadersRead, Ct);
            Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
            Assert.Equal(content.Single().Key, answer.Content.Headers.ContentType!.ToString());
        }
    }

    [Fact]
    public async Task The_calendar_can_be_read_and_holds_the_days_to_look()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["covered"] with { IsOnTheLan = true });
        using var program = house.BrowserWith(null);

        var text = await program.GetStringAsync(new Uri("/calendar.ics?key=" + house.ReaderKey, UriKind.Relative), Ct);

        var calendar = Calendar.Load(text)!;
        Assert.Contains(calendar.Events, one => one.Summary!.EndsWith("first look for curl", StringComparison.Ordinal));
        using var stranger = await program.GetAsync(new Uri("/calendar.ics", UriKind.Relative), Ct);
        Assert.Equal(HttpStatusCode.Unauthorized, stranger.StatusCode);
        using var page = await program.GetAsync(new Uri("/?key=" + house.ReaderKey, UriKind.Relative), Ct);
        Assert.Equal(HttpStatusCode.Unauthorized, page.StatusCode);
    }

    [Fact]
    public async Task Figures_end_as_the_format_asks()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["covered"]);

        var lines = (
            await house.Browser.GetStringAsync(new Uri("/metrics", UriKind.Relative), Ct)).Split('\n',
            StringSplitOptions.RemoveEmptyEntries);

        Assert.Equal("# EOF", lines[^1]);
        Assert.Contains("sentinel_level{site=\"south-wall\",planting=\"white-peach\"} 2", lines);
    }
}
