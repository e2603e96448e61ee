using System.Buffers.Binary;
using System.Net;
using System.Text.Json;

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
    public async Task It_can_be_installed_its_pictures_are_as_large_as_it_says()
    {
        await using var house = await PageHouse.OpenAsync();
        using var manifest = JsonDocument.Parse(await house.Browser.GetStringAsync(new Uri("/site.webmanifest", UriKind.Relative), Ct));

        List<string> sizes = [];
        foreach (var icon in manifest.RootElement.GetProperty("icons").EnumerateArray())
        {
            var bytes = await house.Browser.GetByteArrayAsync(new Uri(icon.GetProperty("src").GetString()!, UriKind.Relative), Ct);
            if (icon.GetProperty("type").GetString() != "image/png")
                continue;
            // Width and height stand behind the signature, the length and the name of the first chunk (PNG, third edition, 11.2.1).
            var width = BinaryPrimitives.ReadInt32BigEndian(bytes.AsSpan(16));
            Assert.Equal(icon.GetProperty("sizes").GetString(), $"{width}x{BinaryPrimitives.ReadInt32BigEndian(bytes.AsSpan(20))}");
            sizes.Add($"{width} {(icon.TryGetProperty("purpose", out var purpose) ? purpose.GetString() : "any")}");
        }

        // What browsers ask of a page that can be installed: 192 and 512 px; common practice, no source.
        Assert.Equal(["192 any", "512 any maskable"], sizes);
        Assert.Equal("/", manifest.RootElement.GetProperty("id").GetString());
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

        using var answer = await GivenUpAsync(house, house.Browser.GetAsync(new Uri("/", UriKind.Relative), Ct));
        isDone.Set();
        await busy;

        Assert.Equal(HttpStatusCode.ServiceUnavailable, answer.StatusCode);
        Assert.Equal(TimeSpan.FromSeconds(20), answer.Headers.RetryAfter!.Delta);
        Assert.Equal(["20"], answer.Headers.GetValues("Refresh"));
        var page = await PageHouse.ParseAsync(answer);
        Assert.Equal("The watch does not answer.", page.QuerySelector("h1")!.TextContent);
        Assert.EndsWith("This page asks again by itself.", page.QuerySelector("main p")!.TextContent, StringComparison.Ordinal);
        await house.GetAsync("/");
    }

    [Fact]
    public async Task A_store_of_which_the_disk_has_spoilt_a_page_is_told_on_the_page_that_needs_it()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["winter"]);
        SampleStore.BreakPage(house.File.Store.Path, "readings");

        using var answer = await house.Browser.GetAsync(new Uri("/sensors", UriKind.Relative), Ct);

        Assert.Equal(HttpStatusCode.ServiceUnavailable, answer.StatusCode);
        Assert.StartsWith(
            "The store cannot be read: it is not a database or is damaged.",
            (await PageHouse.ParseAsync(answer)).QuerySelector("h1")!.TextContent,
            StringComparison.Ordinal);
        await house.GetAsync("/");
    }

    [Theory]
    [InlineData("en", "The season is being judged again.", "This page asks again by itself.", "Nothing was changed. Go back,")]
    [InlineData("de", "Die Saison wird neu beurteilt.", "Diese Seite fragt von selbst wieder.", "Nichts wurde geändert. Zurückgehen")]
    public async Task While_the_season_is_judged_again_the_page_says_so_and_comes_by_itself_and_forms_change_nothing(
        string language, string what, string again, string unchanged)
    {
        await using var house = await PageHouse.OpenAsync(new PageGarden { File = $"language: {language}\n{PageGarden.Wall}" });
        using var mayEnd = new ManualResetEventSlim();
        await JudgeAgainAsync(house, mayEnd);

        using var looked = await GivenUpAsync(house, house.Browser.GetAsync(new Uri("/", UriKind.Relative), Ct));
        using var program = await GivenUpAsync(house, house.Browser.GetAsync(new Uri("/api/garden", UriKind.Relative), Ct));
        using var wrote = await GivenUpAsync(
            house, house.PostAsync("/journal/leaf-fall", ("tree", "gate-nectarine"), ("day", "today")));
        mayEnd.Set();

        Assert.All([looked, program, wrote], one => Assert.Equal(HttpStatusCode.ServiceUnavailable, one.StatusCode));
        Assert.All([looked, program, wrote], one => Assert.Equal(TimeSpan.FromSeconds(20), one.Headers.RetryAfter!.Delta));
        Assert.Equal([true, false, false], new[] { looked, program, wrote }.Select(one => one.Headers.Contains("Refresh")));
        var (page, form) = (await PageHouse.ParseAsync(looked), await PageHouse.ParseAsync(wrote));
        Assert.Equal([what, what], new[] { page, form }.Select(one => one.QuerySelector("h1")!.TextContent));
        Assert.EndsWith(again, page.QuerySelector("main p")!.TextContent, StringComparison.Ordinal);
        Assert.Contains(unchanged, form.QuerySelector("main p")!.TextContent, StringComparison.Ordinal);
        Assert.DoesNotContain(again, form.Body!.TextContent, StringComparison.Ordinal);
        Assert.Single(house.Journal);
        await house.GetAsync("/");
    }

    [Fact]
    public async Task What_was_typed_waits_while_the_season_is_judged_again_and_is_written_then()
    {
        await using var house = await PageHouse.OpenAsync(new PageGarden { File = PageGarden.Wall });
        using var mayEnd = new ManualResetEventSlim();
        await JudgeAgainAsync(house, mayEnd);

        var sent = house.PostAsync("/journal/leaf-fall", ("tree", "gate-nectarine"), ("fallen", "90"), ("day", "today"));
        // Three times as long as a look is given, and still nobody has told it to come back.
        for (var second = 0; second < 9; second++)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System, Ct);
            house.Time.Advance(TimeSpan.FromSeconds(1));
        }

        Assert.False(sent.IsCompleted);
        mayEnd.Set();
        using var wrote = await sent;

        Assert.Equal(HttpStatusCode.SeeOther, wrote.StatusCode);
        Assert.Equal(["white-peach", "gate-nectarine"], house.Journal.Select(row => row.Entry!.Planting));
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

    /// <summary>Writes an entry, and returns while the season is judged again by it.</summary>
    /// <param name="house">The house.</param>
    /// <param name="mayEnd">Judging goes on until this is set.</param>
    private static async Task JudgeAgainAsync(PageHouse house, ManualResetEventSlim mayEnd)
    {
        house.OnSaid = said =>
        {
            if (said.EndsWith("the season has been judged again.", StringComparison.Ordinal))
                mayEnd.Wait(Ct);
        };
        using (var journal = JournalBook.Beside(house.File.Store.Path))
            journal.Add(new LeafFallEntry(0, "south-wall", "white-peach", new DateOnly(2026, 11, 20), 80), house.Time.GetUtcNow());
        await Until.TrueAsync(
            () =>
            {
                house.Time.Advance(TimeSpan.FromSeconds(1));
                return house.Loop.IsJudgingAgain;
            },
            "the season is judged again");
    }

    /// <summary>The answer to a request that nobody answers in time.</summary>
    private static async Task<HttpResponseMessage> GivenUpAsync(PageHouse house, Task<HttpResponseMessage> asked)
    {
        await Until.TrueAsync(
            () =>
            {
                house.Time.Advance(TimeSpan.FromSeconds(1));
                return asked.IsCompleted;
            },
            "the page gives up");
        return await asked;
    }
}
