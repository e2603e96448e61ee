using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace BackyardSentinel.Web.Browsers;

/// <summary>The values of a moment of the weather's drawing, by touch, by mouse and by the arrow keys.</summary>
public sealed class WeatherFingerTests(Chromium chromium)
{
    private const string Line = @"^\w{3},? \d+ \w+, \d\d:\d\d: \d+(\.\d)? °C, humidity \d+ %, rain \d+\.\d mm, wet for \d\.\d h$";

    [Fact]
    public async Task A_touch_a_move_and_the_keys_tell_the_values_of_a_moment()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["possible"]);
        var page = await chromium.OpenAsync(house);
        List<string> complaints = [];
        page.Console += (_, line) => complaints.Add(line.Text);
        await page.GotoAsync("/weather?days=3");
        var (said, strip) = (page.Locator(".finger output"), (await page.Locator(".plot .strip").BoundingBoxAsync())!);

        await Expect(said).ToHaveTextAsync("");
        await Expect(said).ToHaveAttributeAsync("role", "status");
        await page.Mouse.ClickAsync(strip.X + (strip.Width * 0.95f), strip.Y + 150);
        await Expect(said).ToHaveTextAsync(new System.Text.RegularExpressions.Regex(Line));
        var touched = await said.TextContentAsync();
        Assert.Contains("8.9 °C", touched, StringComparison.Ordinal);

        await page.Mouse.MoveAsync(strip.X + (strip.Width * 0.55f), strip.Y + 200);
        await Expect(said).Not.ToHaveTextAsync(touched!);
        Assert.Equal(1, await page.Locator(".plot .strip .at").CountAsync());

        var slider = page.GetByRole(AriaRole.Slider);
        var before = await said.TextContentAsync();
        await slider.FocusAsync();
        await page.Keyboard.PressAsync("ArrowLeft");
        await Expect(said).Not.ToHaveTextAsync(before!);
        await page.Keyboard.PressAsync("ArrowRight");
        await Expect(said).ToHaveTextAsync(before!);
        Assert.Matches(@"^\w{3},? \d+ \w+, \d\d:\d\d", await slider.GetAttributeAsync("aria-valuetext"));
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Without_scripts_there_is_the_table_and_nothing_that_does_not_work()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["possible"]);
        var page = await chromium.OpenAsync(house, hasScript: false);
        await page.GotoAsync("/weather");

        await Expect(page.Locator(".finger")).ToBeHiddenAsync();
        await page.ClickAsync("details.figures summary");
        await Expect(page.Locator("details.figures tr[data-x]").First).ToBeVisibleAsync();
        await page.Context.CloseAsync();
    }
}
