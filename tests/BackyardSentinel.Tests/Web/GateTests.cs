using System.Net;
using System.Net.Http.Headers;

namespace BackyardSentinel.Web;

/// <summary>Who may see the page and write on it (OWASP ASVS 5.0, chapters 3 and 6, from memory).</summary>
public sealed class GateTests
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private static PageGarden Lan => new() { IsOnTheLan = true };

    [Fact]
    public async Task On_the_home_network_a_stranger_sees_the_door_alone()
    {
        await using var house = await PageHouse.OpenAsync(Lan);
        using var stranger = house.BrowserWith(null);

        foreach (var path in new[] { "/", "/journal", "/alert/x", "/nothing" })
        {
            using var answer = await stranger.GetAsync(new Uri(path, UriKind.Relative), Ct);
            Assert.Equal(HttpStatusCode.Unauthorized, answer.StatusCode);
            Assert.DoesNotContain("white-peach", await answer.Content.ReadAsStringAsync(Ct), StringComparison.Ordinal);
        }

        using var api = await stranger.GetAsync(new Uri("/api/garden", UriKind.Relative), Ct);
        Assert.Equal(HttpStatusCode.Unauthorized, api.StatusCode);
        Assert.Equal("application/problem+json", api.Content.Headers.ContentType!.MediaType);
    }

    [Fact]
    public async Task Behind_a_web_server_that_all_the_world_can_reach_a_stranger_neither_sees_nor_writes()
    {
        await using var house = await PageHouse.OpenAsync(Behind("https://garden.example"));
        using var stranger = house.BrowserWith(null);
        stranger.DefaultRequestHeaders.Host = "garden.example";
        stranger.DefaultRequestHeaders.Add("Sentinel-Write", "1");

        using var look = await stranger.GetAsync(new Uri("/", UriKind.Relative), Ct);
        using var entry = new StringContent("""{"on": "2027-02-05", "planting": "white-peach", "kind": "stage", "code": 1}""");
        using var write = await stranger.PostAsync(new Uri("/api/journal", UriKind.Relative), entry, Ct);

        Assert.Equal(HttpStatusCode.Unauthorized, look.StatusCode);
        Assert.Equal(HttpStatusCode.Unauthorized, write.StatusCode);
        Assert.Empty(house.Journal);
    }

    [Fact]
    public async Task Where_its_address_is_this_computer_too_it_asks_for_no_key()
    {
        await using var house = await PageHouse.OpenAsync(Behind("http://localhost:5480"));

        using var look = await house.Browser.GetAsync(new Uri("/", UriKind.Relative), Ct);

        Assert.Equal(HttpStatusCode.OK, look.StatusCode);
    }

    [Fact]
    public async Task A_key_that_came_with_the_address_lets_in_by_a_strict_cookie_that_scripts_cannot_read()
    {
        await using var house = await PageHouse.OpenAsync(Lan);
        using var stranger = house.BrowserWith(null);

        using var answer = await Enter(stranger, house.WriterKey);

        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        var cookie = Assert.Single(answer.Headers.GetValues("Set-Cookie"));
        Assert.Contains("httponly", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("samesite=strict", cookie, StringComparison.OrdinalIgnoreCase);
    }

    /// <summary>Browsers take a backslash for a slash, and drop tabs (WHATWG URL, basic URL parser).</summary>
    [Theory]
    [InlineData("/%5Cevil.example", "/")]
    [InlineData("/%09/evil.example", "/")]
    [InlineData("//evil.example", "/")]
    [InlineData("/journal", "/journal")]
    public async Task The_door_leads_on_to_a_page_of_ours_alone(string path, string leadsTo)
    {
        await using var house = await PageHouse.OpenAsync(Lan);
        using var stranger = house.BrowserWith(null);

        using var answer = await stranger.GetAsync(new Uri(house.Address.GetLeftPart(UriPartial.Authority) + path), Ct);

        var door = await PageHouse.ParseAsync(answer);
        Assert.Contains(leadsTo, door.QuerySelectorAll("main a").Select(link => link.GetAttribute("href")));
        Assert.DoesNotContain(
            door.QuerySelectorAll("a, form"),
            one => (one.GetAttribute("href") + one.GetAttribute("action")).Contains("evil", StringComparison.Ordinal));
    }

    /// <summary>RFC 6265, 4.1.2.5: a cookie that is secure goes over encrypted connections only.</summary>
    [Theory]
    [InlineData("garden.example", true)]
    [InlineData("localhost", false)]
    public async Task The_cookie_is_secure_where_a_web_server_in_front_encrypts(string calledAs, bool isSecure)
    {
        await using var house = await PageHouse.OpenAsync(Behind("https://garden.example"));
        using var stranger = house.BrowserWith(null);
        stranger.DefaultRequestHeaders.Host = calledAs;

        using var answer = await Enter(stranger, house.WriterKey);

        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        var cookie = Assert.Single(answer.Headers.GetValues("Set-Cookie"));
        Assert.Equal(isSecure, cookie.Contains("secure", StringComparison.OrdinalIgnoreCase));
    }

    /// <summary>RFC 9110, 15.5.6: the answer names what may be asked for.</summary>
    [Theory]
    [InlineData("OPTIONS", "/", "GET, HEAD")]
    [InlineData("PUT", "/api/journal", "GET, HEAD, POST")]
    [InlineData("DELETE", "/journal/pick", "GET, HEAD, POST")]
    public async Task A_method_that_nothing_answers_is_told_as_that(string method, string path, string allowed)
    {
        await using var house = await PageHouse.OpenAsync();
        using var request = new HttpRequestMessage(new HttpMethod(method), new Uri(path, UriKind.Relative));

        using var answer = await house.Browser.SendAsync(request, Ct);

        Assert.Equal(HttpStatusCode.MethodNotAllowed, answer.StatusCode);
        Assert.Equal(allowed, string.Join(", ", answer.Content.Headers.Allow.Order(StringComparer.Ordinal)));
        Assert.Contains("names what it takes", await answer.Content.ReadAsStringAsync(Ct), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Six_wrong_keys_in_a_minute_are_one_too_many_even_before_the_right_one()
    {
        await using var house = await PageHouse.OpenAsync(Lan);
        using var stranger = house.BrowserWith(null);
        for (var i = 0; i < 5; i++)
        {
            using var wrong = await Enter(stranger, "wrong-" + i);
            Assert.Equal(HttpStatusCode.Unauthorized, wrong.StatusCode);
        }

        using var late = await Enter(stranger, house.WriterKey);
        Assert.Equal(HttpStatusCode.TooManyRequests, late.StatusCode);
        house.Time.Advance(TimeSpan.FromSeconds(61));
        using var again = await Enter(stranger, house.WriterKey);
        Assert.Equal(HttpStatusCode.OK, again.StatusCode);
    }

    [Fact]
    public async Task Wrong_keys_of_programs_and_calendars_count_as_those_at_the_door()
    {
        await using var house = await PageHouse.OpenAsync(Lan);
        using var family = house.BrowserWith(house.ReaderKey);
        for (var i = 0; i < 5; i++)
        {
            using var stranger = house.BrowserWith(null);
            stranger.DefaultRequestHeaders.Authorization = i < 3 ? new AuthenticationHeaderValue("Bearer", "wrong-" + i) : null;
            using var wrong = await stranger.GetAsync(
                new Uri(i < 3 ? "/api/garden" : "/calendar.ics?key=wrong-" + i, UriKind.Relative), Ct);
            Assert.Equal(HttpStatusCode.Unauthorized, wrong.StatusCode);
        }

        using var program = house.BrowserWith(null);
        program.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", house.WriterKey);
        using var late = await program.GetAsync(new Uri("/api/garden", UriKind.Relative), Ct);
        using var calendar = house.BrowserWith(null);
        using var dates = await calendar.GetAsync(new Uri("/calendar.ics?key=" + house.ReaderKey, UriKind.Relative), Ct);
        using var door = await Enter(calendar, house.WriterKey);
        using var known = await family.GetAsync(new Uri("/", UriKind.Relative), Ct);
        house.Time.Advance(TimeSpan.FromSeconds(61));
        using var again = await program.GetAsync(new Uri("/api/garden", UriKind.Relative), Ct);

        Assert.Equal(HttpStatusCode.TooManyRequests, late.StatusCode);
        Assert.Equal(TimeSpan.FromSeconds(60), late.Headers.RetryAfter!.Delta);
        Assert.Contains("Wait a minute", await late.Content.ReadAsStringAsync(Ct), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.TooManyRequests, dates.StatusCode);
        Assert.Equal(HttpStatusCode.TooManyRequests, door.StatusCode);
        Assert.Equal(HttpStatusCode.OK, known.StatusCode);
        Assert.Equal(HttpStatusCode.OK, again.StatusCode);
    }

    [Fact]
    public async Task A_browser_left_open_with_an_old_key_shuts_nobody_out()
    {
        await using var house = await PageHouse.OpenAsync(Lan);
        using var old = house.BrowserWith("the-key-of-last-year-that-was-renewed");
        for (var i = 0; i < 20; i++)
        {
            using var wrong = await old.GetAsync(new Uri("/api/garden", UriKind.Relative), Ct);
            Assert.Equal(HttpStatusCode.Unauthorized, wrong.StatusCode);
        }

        using var entered = await Enter(old, house.WriterKey);

        Assert.Equal(HttpStatusCode.OK, entered.StatusCode);
    }

    [Fact]
    public async Task The_family_s_key_looks_and_does_not_write()
    {
        await using var house = await PageHouse.OpenAsync(Lan);
        using var family = house.BrowserWith(house.ReaderKey);

        using var look = await family.GetAsync(new Uri("/", UriKind.Relative), Ct);
        using var write = await Answer(family, house.Pass);

        Assert.Equal(HttpStatusCode.OK, look.StatusCode);
        Assert.Equal(HttpStatusCode.Forbidden, write.StatusCode);
    }

    [Theory]
    [InlineData("evil.example")]
    [InlineData("127.0.0.1.evil.example")]
    [InlineData("10.9.8.7")]
    public async Task By_a_name_that_is_not_its_own_the_page_shows_nothing(string name)
    {
        await using var house = await PageHouse.OpenAsync();
        using var asked = new HttpRequestMessage(HttpMethod.Get, "/") { Headers = { Host = name } };

        using var answer = await house.Browser.SendAsync(asked, Ct);

        Assert.Equal(HttpStatusCode.MisdirectedRequest, answer.StatusCode);
        Assert.DoesNotContain("white-peach", await answer.Content.ReadAsStringAsync(Ct), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Forwarded", "for=192.0.2.43")]
    [InlineData("X-Forwarded-For", "192.0.2.43")]
    [InlineData("Via", "1.1 front")]
    public async Task What_a_web_server_passes_on_is_not_answered_where_no_address_says_that_others_may_come(string header, string value)
    {
        await using var house = await PageHouse.OpenAsync();
        using var asked = new HttpRequestMessage(HttpMethod.Get, "/") { Headers = { { header, value } } };
        await using var told = await PageHouse.OpenAsync(Behind("http://localhost:5480"));
        using var askedToo = new HttpRequestMessage(HttpMethod.Get, "/") { Headers = { { header, value } } };

        using var answer = await house.Browser.SendAsync(asked, Ct);
        using var answerToo = await told.Browser.SendAsync(askedToo, Ct);

        var text = await answer.Content.ReadAsStringAsync(Ct);
        Assert.Equal(HttpStatusCode.MisdirectedRequest, answer.StatusCode);
        Assert.Contains("'address'", text, StringComparison.Ordinal);
        Assert.DoesNotContain("white-peach", text, StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.MisdirectedRequest, answerToo.StatusCode);
    }

    /// <summary>Many web servers call the one behind them by its own name unless they are told otherwise.</summary>
    [Theory]
    [InlineData("https://garden.example", HttpStatusCode.OK)]
    [InlineData("https://evil.example", HttpStatusCode.Forbidden)]
    [InlineData("http://garden.example", HttpStatusCode.Forbidden)]
    public async Task What_is_written_at_the_address_is_taken_by_whatever_name_it_is_passed_on(string origin, HttpStatusCode status)
    {
        await using var house = await PageHouse.OpenAsync(Behind("https://garden.example"));
        using var stranger = house.BrowserWith(null);
        stranger.DefaultRequestHeaders.Add("Origin", origin);
        using var entered = await Enter(stranger, house.WriterKey);
        using var writer = house.BrowserWith(house.WriterKey);
        writer.DefaultRequestHeaders.Add("Origin", origin);

        using var answer = await Answer(writer, house.Pass);

        Assert.Equal(
            origin == "https://garden.example",
            entered.Headers.GetValues("Set-Cookie").Single().Contains("secure", StringComparison.OrdinalIgnoreCase));
        Assert.Equal(status == HttpStatusCode.Forbidden, answer.StatusCode == HttpStatusCode.Forbidden);
    }

    [Theory]
    [InlineData("http://evil.example", null)]
    [InlineData("null", null)]
    [InlineData(null, "cross-site")]
    [InlineData(null, "same-site")]
    public async Task What_another_site_sends_is_not_written_though_it_knew_the_pass(string? origin, string? site)
    {
        await using var house = await PageHouse.OpenAsync();
        using var form = new HttpRequestMessage(HttpMethod.Post, "/alert/x")
        {
            Content = new FormUrlEncodedContent([KeyValuePair.Create("pass", house.Pass), KeyValuePair.Create("answer", "seen")]),
        };
        if (origin is not null)
            form.Headers.Add("Origin", origin);
        if (site is not null)
            form.Headers.Add("Sec-Fetch-Site", site);

        using var answer = await house.Browser.SendAsync(form, Ct);

        Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
    }

    [Fact]
    public async Task A_form_without_its_pass_is_not_written()
    {
        await using var house = await PageHouse.OpenAsync();

        using var answer = await Answer(house.Browser, "guessed");

        Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
    }

    [Fact]
    public async Task Another_sort_of_authorization_beside_the_cookie_makes_no_program_of_a_foreign_form()
    {
        await using var house = await PageHouse.OpenAsync(Lan);
        using var browser = house.BrowserWith(house.WriterKey);
        browser.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Basic", "YTpi");

        using var answer = await Answer(browser, "guessed");

        Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
    }

    [Fact]
    public async Task A_program_writes_with_its_key_alone()
    {
        await using var house = await PageHouse.OpenAsync(Lan);
        using var program = house.BrowserWith(null);
        program.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", house.WriterKey);

        using var answer = await program.PostAsync(
            new Uri("/api/answer", UriKind.Relative), new StringContent("""{"episode":"none","kind":"seen"}"""), Ct);

        // It came through to where there is no such alert.
        Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
    }

    [Fact]
    public async Task Every_answer_forbids_what_does_not_belong_to_the_page()
    {
        await using var house = await PageHouse.OpenAsync();

        using var answer = await house.Browser.GetAsync(new Uri("/", UriKind.Relative), Ct);

        var policy = Assert.Single(answer.Headers.GetValues("Content-Security-Policy"));
        Assert.Contains("default-src 'self'", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
        Assert.Equal("nosniff", Assert.Single(answer.Headers.GetValues("X-Content-Type-Options")));
        Assert.False(answer.Headers.Contains("Server"));
    }

    private static PageGarden Behind(string address) => new()
    {
        Change = file => file with { Page = new PageSettings { Address = new Uri(address) } },
    };

    private static async Task<HttpResponseMessage> Enter(HttpClient browser, string key)
    {
        using var form = new FormUrlEncodedContent([KeyValuePair.Create("key", key)]);
        return await browser.PostAsync(new Uri("/enter", UriKind.Relative), form, Ct);
    }

    private static async Task<HttpResponseMessage> Answer(HttpClient browser, string pass)
    {
        using var form = new FormUrlEncodedContent([KeyValuePair.Create("pass", pass), KeyValuePair.Create("answer", "seen")]);
        return await browser.PostAsync(new Uri("/alert/x", UriKind.Relative), form, Ct);
    }
}
