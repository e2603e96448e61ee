using System.Text.RegularExpressions;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Infection;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace BackyardSentinel.Web.Browsers;

/// <summary>What a grower comes to the page for, done by a browser of a phone's size, with scripts and without.</summary>
public sealed class JourneyTests(Chromium chromium)
{
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_message_is_answered_from_its_link_by_one_touch(bool hasScript)
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
        var page = await chromium.OpenAsync(house, hasScript: hasScript);

        await page.GotoAsync("/alert/" + Uri.EscapeDataString(told.Id));
        await Expect(page.Locator("h1")).ToHaveTextAsync("Curl weather possible: white-peach");
        await page.GetByRole(AriaRole.Button, new() { Name = "Seen" }).ClickAsync();

        await Expect(page.Locator(".told")).ToContainTextAsync("Seen at 08:20");
        await page.GotoAsync("/");
        await Expect(page.Locator("form.told")).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_spray_is_written_down_and_its_cover_is_seen(bool hasScript)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["winter"]);
        var page = await chromium.OpenAsync(house, hasScript: hasScript);
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

    [Fact]
    public async Task A_window_opens_while_somebody_is_watching()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["building"]);
        var page = await chromium.OpenAsync(house);
        await page.GotoAsync("/");
        await Expect(page.Locator(".kick span")).ToHaveTextAsync("building, 1 of 4");

        await house.LiveAsync(45, at => PageGarden.Weather(at, 0, 8.9, 97, 0.06));

        // The clock stands still but for the test, and the open page looks by that clock.
        for (var i = 0; i < 100 && await page.Locator(".kick span").TextContentAsync() != "possible, 2 of 4"; i++)
        {
            house.Time.Advance(TimeSpan.FromSeconds(3));
            await page.WaitForTimeoutAsync(50);
        }

        await Expect(page.Locator(".kick span")).ToHaveTextAsync("possible, 2 of 4");
        await Expect(page.Locator("h1")).ToContainTextAsync("Curl weather possible since");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_sensor_that_goes_silent_is_told_as_unknown()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"]);
        var page = await chromium.OpenAsync(house, hasScript: false);
        await page.GotoAsync("/");
        await Expect(page.Locator(".kick span")).ToHaveTextAsync("clear, 0 of 4");

        await house.LiveAsync(36, _ => []);

        await page.ReloadAsync();
        await Expect(page.Locator("h1")).ToContainTextAsync("Unknown since");
        await Expect(page.Locator("main")).ToContainTextAsync("This is not “clear”");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_keyboard_alone_reaches_every_link_and_button_and_shows_where_it_is()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["maybe"]);
        var page = await chromium.OpenAsync(house, width: 1280);
        await page.GotoAsync("/");
        var all = await page.Locator("a:visible, button:visible, summary:visible").CountAsync();
        HashSet<string> reached = [];
        for (var i = 0; i < all + 5; i++)
        {
            await page.Keyboard.PressAsync("Tab");
            var (where, outline) = (
                await page.EvaluateAsync<string>(
                    "document.activeElement.outerHTML.slice(0, 120) + document.activeElement.getBoundingClientRect().top"),
                await page.EvaluateAsync<string>("getComputedStyle(document.activeElement).outlineStyle"));
            if (where.StartsWith("<body", StringComparison.Ordinal))
                break;
            Assert.NotEqual("none", outline);
            reached.Add(where);
        }

        Assert.True(reached.Count >= all, $"{reached.Count} of {all} were reached");
        await page.Context.CloseAsync();
    }
}
