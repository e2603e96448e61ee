using System.Net;
using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using Calendar = Ical.Net.Calendar;

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

        Assert.True((await SchemaAsync(schema)).Evaluate(JsonDocument.Parse(text).RootElement).IsValid, text);
    }

    // Microsoft.OpenApi, a reader of others, by the rules of the specification.
    [Fact]
    public async Task The_document_that_describes_it_is_sound_by_another_reader()
    {
        // The reader stumbles over the schemas true and false; by JSON Schema 2020-12, 4.3.2, these are the same.
        var text = System.Text.RegularExpressions.Regex.Replace(
            await File.ReadAllTextAsync(Tests.Checkout.Path("docs", "openapi.json"), Ct),
            "(?<!additionalProperties|required)\": (true|false)",
            one => one.Groups[1].Value == "true" ? "\": {}" : "\": {\"not\": {}}");

        var read = Microsoft.OpenApi.OpenApiDocument.Parse(text, "json");

        Assert.Empty(read.Diagnostic!.Errors.Select(error => error.ToString()));
        Assert.Empty(read.Diagnostic.Warnings.Select(error => error.ToString()));
        Assert.Equal(Api.ApiEndpoint.All.Select(one => one.Path).Distinct().Order(), read.Document!.Paths.Keys.Order());
        Assert.Contains(HttpMethod.Post, read.Document.Paths["/api/journal"].Operations!.Keys);
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

    [Theory]
    [InlineData("/api/plan?site=south-wal")]
    [InlineData("/calendar.ics?site=south-wal")]
    [InlineData("/weather?site=south-wal")]
    public async Task A_site_that_is_not_there_is_not_taken_for_another(string path)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["covered"]);

        using var answer = await house.Browser.GetAsync(new Uri(path, UriKind.Relative), Ct);

        Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
        var text = await answer.Content.ReadAsStringAsync(Ct);
        Assert.Contains("The garden has no site south-wal.", text, StringComparison.Ordinal);
        Assert.Contains("It has south-wall", text, StringComparison.Ordinal);
        Assert.Contains(
            "\"site\": \"south-wall\"",
            await house.Browser.GetStringAsync(new Uri("/api/plan?site=south-wall", UriKind.Relative), Ct),
            StringComparison.Ordinal);
        using var unasked = await house.Browser.GetAsync(new Uri("/api/plan?site=", UriKind.Relative), Ct);
        Assert.Equal(HttpStatusCode.OK, unasked.StatusCode);
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

    [Theory]
    [InlineData("/")]
    [InlineData("/health")]
    [InlineData("/calendar.ics")]
    [InlineData("/style.css")]
    [InlineData("/api/garden")]
    public async Task Who_asks_for_the_head_alone_gets_that_of_the_whole(string path)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"]);
        using var whole = await house.Browser.GetAsync(new Uri(path, UriKind.Relative), Ct);
        using var asked = new HttpRequestMessage(HttpMethod.Head, new Uri(path, UriKind.Relative));
        using var head = await house.Browser.SendAsync(asked, Ct);

        Assert.Equal((whole.StatusCode, whole.Content.Headers.ContentType), (head.StatusCode, head.Content.Headers.ContentType));
        Assert.Empty(await head.Content.ReadAsByteArrayAsync(Ct));
    }

    [Theory]
    [InlineData("""{"on":"2027-03-03","planting":"white-peach","kind":"stage","code":1}""")]
    [InlineData("""{"on":"2027-03-03","site":"south-wall","planting":"gate-nectarine","kind":"spray","product":"winter-copper","volume_l":3,"note":"calm"}""")]
    [InlineData("""{"on":"2027-03-03","planting":"white-peach","kind":"scout","shoots":20,"curled":0}""")]
    [InlineData("""{"on":"2027-03-03","planting":"white-peach","kind":"pick"}""")]
    [InlineData("""{"on":"2027-03-03","planting":"white-peach","kind":"leaf-fall","fallen_pct":60}""")]
    [InlineData("""{"on":"2027-03-03","planting":"white-peach","kind":"shelter","shelter":"on"}""")]
    public async Task An_entry_is_written_as_its_schema_has_it_once(string entry)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"]);
        var before = house.Journal.Count;
        Assert.True((await SchemaAsync("journal-entry")).Evaluate(JsonDocument.Parse(entry).RootElement).IsValid);

        using var written = await SendAsync(house.Browser, entry);
        using var again = await SendAsync(house.Browser, entry);

        var text = await written.Content.ReadAsStringAsync(Ct);
        Assert.True(written.StatusCode == HttpStatusCode.Created, text);
        Assert.True((await SchemaAsync("journal")).Evaluate(JsonDocument.Parse(text).RootElement).IsValid, text);
        Assert.Equal(HttpStatusCode.OK, again.StatusCode);
        Assert.Equal(text, await again.Content.ReadAsStringAsync(Ct));
        Assert.Equal(before + 1, house.Journal.Count);
    }

    [Theory]
    [InlineData(400, "no JSON", "{")]
    [InlineData(400, "An entry is an object", "7")]
    [InlineData(400, "\"dose\" is no key", """{"on":"2027-03-03","planting":"white-peach","kind":"pick","dose":"10 g/L"}""")]
    [InlineData(400, "no JSON", """{"on":"2027-03-03","planting":"white-peach","planting":"gate-nectarine","kind":"pick"}""")]
    [InlineData(400, "known are stage, spray", """{"on":"2027-03-03","planting":"white-peach","kind":"prune"}""")]
    [InlineData(422, "is after today", """{"on":"2027-04-03","planting":"white-peach","kind":"pick"}""")]
    [InlineData(422, "would run backwards", """{"on":"2027-03-03","planting":"white-peach","kind":"stage","code":0}""")]
    [InlineData(422, "no product winter-tea", """{"on":"2027-03-03","planting":"white-peach","kind":"spray","product":"winter-tea","volume_l":3}""")]
    [InlineData(422, "no planting quince", """{"on":"2027-03-03","planting":"quince","kind":"pick"}""")]
    [InlineData(422, "no site elsewhere", """{"on":"2027-03-03","site":"elsewhere","planting":"white-peach","kind":"pick"}""")]
    public async Task What_speaks_against_an_entry_is_told_as_a_problem_and_nothing_is_written(int status, string words, string entry)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"]);
        var before = house.Journal.Count;

        using var answer = await SendAsync(house.Browser, entry);

        var text = await answer.Content.ReadAsStringAsync(Ct);
        Assert.Equal(status, (int)answer.StatusCode);
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType!.MediaType);
        Assert.True((await SchemaAsync("problem")).Evaluate(JsonDocument.Parse(text).RootElement).IsValid, text);
        Assert.Contains(words, JsonDocument.Parse(text).RootElement.GetProperty("detail").GetString(), StringComparison.Ordinal);
        Assert.Equal(before, house.Journal.Count);
    }

    [Fact]
    public async Task Only_the_key_that_may_write_writes_the_journal()
    {
        const string Entry = """{"on":"2027-03-03","planting":"white-peach","kind":"pick"}""";
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"] with { IsOnTheLan = true });
        using var stranger = house.BrowserWith(null);

        async Task<HttpStatusCode> SentBy(string? key)
        {
            using var request = new HttpRequestMessage(HttpMethod.Post, "/api/journal") { Content = new StringContent(Entry) };
            request.Headers.Authorization = key is null ? null : new("Bearer", key);
            using var answer = await stranger.SendAsync(request, Ct);
            return answer.StatusCode;
        }

        Assert.Equal(HttpStatusCode.Unauthorized, await SentBy(null));
        Assert.Equal(HttpStatusCode.Forbidden, await SentBy(house.ReaderKey));
        Assert.Equal(HttpStatusCode.Created, await SentBy(house.WriterKey));
    }

    private static async Task<HttpResponseMessage> SendAsync(HttpClient browser, string entry)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, "/api/journal") { Content = new StringContent(entry) };
        request.Headers.Add("Sentinel-Write", "1");
        return await browser.SendAsync(request, Ct);
    }

    private static async Task<JsonSchema> SchemaAsync(string name) =>
        JsonSchema.FromText(
            await File.ReadAllTextAsync(Tests.Checkout.Path("docs", "schemas", $"{name}.schema.json"), Ct),
            new BuildOptions { SchemaRegistry = new SchemaRegistry() });
}
