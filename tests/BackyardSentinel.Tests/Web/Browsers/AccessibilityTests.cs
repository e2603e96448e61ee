using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using Xunit;

namespace BackyardSentinel.Web.Browsers;

/// <summary>
/// Each page in each state in a real browser, against the rules of axe-core 4 for WCAG 2.2 A and AA; that it fits a narrow phone; that
/// it asks nothing of elsewhere; that it is light.
/// </summary>
[Collection(Chromium.Shared)]
public sealed class AccessibilityTests(Chromium chromium)
{
    /// <summary>A first view has everything that a browser fetches for it, uncompressed.</summary>
    private const int MostBytes = 100_000;

    public static TheoryData<string> States => [.. PageStates.All.Keys];

    [Theory]
    [MemberData(nameof(States))]
    public async Task In_each_state_the_page_can_be_used_by_everybody(string state)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All[state]);

        await LookAsync(house, ["/"]);
    }

    [Theory]
    [InlineData("possible")]
    [InlineData("first-day")]
    public async Task So_can_each_of_the_other_pages(string state)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All[state]);
        var paths = (await house.GetAsync("/")).QuerySelectorAll(".contents a").Select(link => link.GetAttribute("href")!).Where(path => path.StartsWith('/'));

        await LookAsync(
            house,
            [.. paths, "/journal/stage", "/journal/spray", "/journal/scout", "/journal/pick", "/journal/leaf-fall", "/journal/shelter", "/nothing", "/enter"]);
    }

    private async Task LookAsync(PageHouse house, IReadOnlyList<string> paths)
    {
        var page = await chromium.OpenAsync(house);
        List<string> foreign = [], complaints = [];
        page.Request += (_, request) =>
        {
            if (new Uri(request.Url).Authority != house.Address.Authority)
                foreign.Add(request.Url);
        };
        // Chromium says what the page's policy forbids, and what a script stumbles over; that a page is not there is no complaint.
        page.Console += (_, line) =>
        {
            if (line.Type == "error" && !line.Text.Contains("404", StringComparison.Ordinal))
                complaints.Add(line.Text);
        };
        var bytes = 0L;
        page.Response += (_, answer) => bytes += long.Parse(answer.Headers.GetValueOrDefault("content-length", "0"), System.Globalization.CultureInfo.InvariantCulture);
        foreach (var path in paths)
        {
            bytes = 0;
            await page.EmulateMediaAsync(new PageEmulateMediaOptions { ColorScheme = ColorScheme.Light });
            await page.SetViewportSizeAsync(320, 740);
            await page.GotoAsync(path, new PageGotoOptions { WaitUntil = WaitUntilState.Load });
            Assert.InRange(bytes, 1, MostBytes);
            Assert.True(
                await page.EvaluateAsync<bool>("document.documentElement.scrollWidth <= innerWidth"),
                $"{path} scrolls sideways at 320 px");
            await AxeAsync(page, path + " light, 320 px");
            await page.EmulateMediaAsync(new PageEmulateMediaOptions { ColorScheme = ColorScheme.Dark });
            await page.SetViewportSizeAsync(1280, 900);
            await page.EvaluateAsync("document.querySelectorAll('details').forEach(one => one.open = true)");
            await AxeAsync(page, path + " dark, 1280 px");
        }

        Assert.Empty(foreign);
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    private static async Task AxeAsync(IPage page, string where)
    {
        var result = await page.RunAxe();
        Assert.True(
            result.Violations.Length == 0,
            $"{where}: {string.Join("; ", result.Violations.Select(one => $"{one.Id} ({one.Help}): {string.Join(" ", one.Nodes.Take(3).Select(node => node.Html))}"))}");
    }
}
