using System.Text.RegularExpressions;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Infection;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace BackyardSentinel.Web.Browsers;

/// <summary>What a grower comes to the page for, done on phones and a desk's screen, with scripts and without.</summary>
public sealed class JourneyTests(Chromium chromium)
{
    /// <summary>Where the keyboard is, by its place among the elements (0: nowhere), and what is wrong with how it is shown.</summary>
    private const string Stop =
        """
        () => {
            const at = document.activeElement;
            if (at === document.body)
                return ['0', ''];
            const { outlineStyle, outlineWidth } = getComputedStyle(at);
            const box = at.getClientRects()[0];
            const seen = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
            return [
                String([...document.querySelectorAll('*')].indexOf(at)),
                outlineStyle === 'none' || parseFloat(outlineWidth) < 1 ? `no outline on ${at.outerHTML}`
                    : !seen ? `not on the screen: ${at.outerHTML}`
                    : !at.contains(seen) && !seen.contains(at) ? `${at.outerHTML} lies beneath ${seen.outerHTML}`
                    : '',
            ];
        }
        """;

    /// <summary>Who comes: the width of the screen, px, and whether scripts run on it.</summary>
    public static TheoryData<int, bool> Readers => new() { { 320, true }, { 360, false }, { 1280, true } };

    [Theory]
    [MemberData(nameof(Readers))]
    public async Task A_message_is_answered_from_its_link_by_one_touch(int width, bool hasScript)
    {
        var garden = PageStates.All["possible"];
        var told = new AlertMessage(
            "south-wall/white-peach/20270304t0510z",
            "south-wall/white-peach/20270304t0510z",
            "south-wall",
            ["white-peach"],
            "level-risen",
            Level.Possible,
            Urgency.Normal,
            garden.Now.AddHours(-1),
            garden.Now.AddDays(1),
            "Curl weather possible: white-peach",
            "Wet since 21:40.\nLook for curl in three weeks.",
            AlertMessage.NoFacts);
        await using var house = await PageHouse.OpenAsync(garden with { Told = [told] });
        var page = await chromium.OpenAsync(house, width, hasScript: hasScript);

        await page.GotoAsync("/alert/" + Uri.EscapeDataString(told.Id));
        await Expect(page.Locator("h1")).ToHaveTextAsync("Curl weather possible: white-peach");
        await page.GetByRole(AriaRole.Button, new() { Name = "Seen" }).ClickAsync();

        await Expect(page.Locator(".told")).ToContainTextAsync("Seen at 08:20");
        await page.GotoAsync("/");
        await Expect(page.Locator("form.told")).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }

    [Theory]
    [MemberData(nameof(Readers))]
    public async Task A_spray_is_written_down_and_its_cover_is_seen(int width, bool hasScript)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["winter"]);
        var page = await chromium.OpenAsync(house, width, hasScript: hasScript);
        await page.GotoAsync("/journal/spray");

        await page.GetByLabel(new Regex("^\\s*The blue tub")).CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it down" }).ClickAsync();

        await Expect(page.Locator("main")).ToContainTextAsync(new Regex("Written"));
        Assert.Contains(house.Journal, row => row.Entry is Garden.SprayEntry);
        await house.LiveAsync(2, at => PageGarden.Weather(at, 0, 4, 70));
        await page.GotoAsync("/");
        await Expect(page.Locator("main")).ToContainTextAsync("fresh");
        await page.Context.CloseAsync();
    }

    [Theory]
    [MemberData(nameof(Readers))]
    public async Task A_window_opens_while_somebody_is_watching(int width, bool hasScript)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["building"]);
        var page = await chromium.OpenAsync(house, width, hasScript: hasScript);
        await page.GotoAsync("/");
        await Expect(page.Locator(".kick span")).ToHaveTextAsync("building, 1 of 4");
        var link = page.Locator(".contents li a[href='/weather']");
        await link.FocusAsync();

        await house.LiveAsync(45, at => PageGarden.Weather(at, 0, 8.9, 97, 0.06));

        await LookAgainAsync(house, page, hasScript, "possible, 2 of 4");
        await Expect(page.Locator("h1")).ToContainTextAsync("Curl weather possible since");
        if (hasScript)
            await Expect(link).ToBeFocusedAsync();
        await page.Context.CloseAsync();
    }

    [Theory]
    [MemberData(nameof(Readers))]
    public async Task A_sensor_that_goes_silent_is_told_as_unknown(int width, bool hasScript)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"]);
        var page = await chromium.OpenAsync(house, width, hasScript: hasScript);
        await page.GotoAsync("/");
        await Expect(page.Locator(".kick span")).ToHaveTextAsync("clear, 0 of 4");

        await house.LiveAsync(36, _ => []);

        await LookAgainAsync(house, page, hasScript, "unknown");
        await Expect(page.Locator("h1")).ToContainTextAsync("Unknown since");
        await Expect(page.Locator("main")).ToContainTextAsync("This is not “clear”");
        await page.Context.CloseAsync();
    }

    [Theory]
    [MemberData(nameof(Readers))]
    public async Task By_the_keyboard_alone_a_spray_is_written_down_seen_and_taken_back(int width, bool hasScript)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["winter"]);
        var page = await chromium.OpenAsync(house, width, hasScript: hasScript);
        await page.GotoAsync("/");
        await Expect(page.Locator("main")).Not.ToContainTextAsync("fresh,");

        await PressAsync(page.Locator(".skip"), "Enter");
        await PressAsync(page.Locator(".contents li a[href='/journal']"), "Enter");
        await PressAsync(page.Locator("main .pick a[href='/journal/spray']"), "Enter");
        await PressAsync(page.Locator("#volume-white-peach"), "6");
        await PressAsync(page.Locator("#tree-gate-nectarine"), "Space");
        await PressAsync(page.Locator("#product-winter-copper"), "Space");
        await page.Keyboard.PressAsync("ArrowDown");
        await Expect(page.Locator("#product-winter-oil")).ToBeCheckedAsync();
        await page.Keyboard.PressAsync("ArrowUp");
        await PressAsync(page.Locator("#day-today"), "ArrowDown");
        await PressAsync(page.Locator("main .btn:not(.slim)"), "Enter");

        await Expect(page.Locator("[role=status]")).ToContainTextAsync("Written");
        Assert.Equal(
            new Garden.SprayEntry(1, "south-wall", "white-peach", new DateOnly(2027, 1, 24), "winter-copper", 6),
            Assert.Single(house.Journal).Entry);
        await house.LiveAsync(2, at => PageGarden.Weather(at, 0, 4, 70));
        await PressAsync(page.Locator(".contents li a[href='/']"), "Enter");
        await Expect(page.Locator("#p-white-peach ~ .facts")).ToContainTextAsync("fresh");
        await Expect(page.Locator("#p-gate-nectarine ~ .facts")).ToContainTextAsync("Covernone");

        await PressAsync(page.Locator(".contents li a[href='/journal']"), "Enter");
        await PressAsync(page.Locator("main .line button"), "Enter");
        await Expect(page.Locator("main td s")).ToContainTextAsync("The blue tub");
        Assert.Equal(1, house.Journal[^1].Withdraws);
        await house.LiveAsync(2, at => PageGarden.Weather(at, 0, 4, 70));
        await PressAsync(page.Locator(".contents li a[href='/']"), "Enter");
        await Expect(page.Locator("#p-white-peach ~ .facts")).ToContainTextAsync("Covernone");
        await page.Context.CloseAsync();

        async Task PressAsync(ILocator stop, string key)
        {
            await Expect(stop).ToHaveCountAsync(1);
            string at;
            do
                at = await TabAsync(page);
            while (at != "0" && !await stop.EvaluateAsync<bool>("one => one === document.activeElement"));
            Assert.True(at != "0", $"Tab never came to {stop} on {page.Url}");
            await page.Keyboard.PressAsync(key);
        }
    }

    [Fact]
    public async Task The_keyboard_alone_reaches_every_link_and_button_and_shows_where_it_is()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["maybe"]);
        var page = await chromium.OpenAsync(house, width: 1280);
        await page.GotoAsync("/");
        var all = await page.Locator("a:visible, button:visible, summary:visible").CountAsync();
        HashSet<string> reached = [];
        for (var at = await TabAsync(page); at != "0" && reached.Count < all + 5; at = await TabAsync(page))
            reached.Add(at);

        Assert.True(reached.Count >= all, $"{reached.Count} of {all} were reached");
        await page.Context.CloseAsync();
    }

    /// <summary>
    /// What the page says a little later. With scripts it looks again by itself: the clock stands still but for the test, and it goes by
    /// that clock. Without, the reader loads it again.
    /// </summary>
    private static async Task LookAgainAsync(PageHouse house, IPage page, bool hasScript, string said)
    {
        var level = page.Locator(".kick span");
        if (!hasScript)
            await page.ReloadAsync();
        for (var i = 0; hasScript && i < 100 && await level.TextContentAsync() != said; i++)
        {
            house.Time.Advance(TimeSpan.FromSeconds(3));
            await page.WaitForTimeoutAsync(50);
        }

        await Expect(level).ToHaveTextAsync(said);
    }

    /// <summary>One stop further by the keyboard; where that is, which can be seen.</summary>
    private static async Task<string> TabAsync(IPage page)
    {
        await page.Keyboard.PressAsync("Tab");
        var stop = await page.EvaluateAsync<string[]>(Stop);
        Assert.Equal("", stop[1]);
        return stop[0];
    }
}
