using BackyardSentinel.Contract;
using BackyardSentinel.Web.SetUp;
using BackyardSentinel.Wording;
using Deque.AxeCore.Commons;
using Microsoft.Playwright;

namespace BackyardSentinel.Web.Browsers;

/// <summary>
/// Each page in each state in a real browser, against the rules of axe-core 4 for WCAG 2.2 A and AA; that it fits a narrow phone; that
/// it asks nothing of elsewhere; that it is light.
/// </summary>
public sealed class AccessibilityTests(Chromium chromium)
{
    /// <summary>A first view has everything that a browser fetches for it, uncompressed.</summary>
    private const int MostBytes = 100_000;

    /// <summary>Pages looked at at once, as many as a small computer has cores to spare for.</summary>
    private const int AtOnce = 2;

    /// <summary>
    /// Each page is looked at narrow and wide, in one theme and in the other; in half of the states the other way round, so that each
    /// theme is seen narrow and wide.
    /// </summary>
    private static readonly (ColorScheme Narrow, ColorScheme Wide)[] Ways =
        [(ColorScheme.Light, ColorScheme.Dark), (ColorScheme.Dark, ColorScheme.Light)];

    private static readonly string Axe = new BundledAxeScriptProvider().GetScript();

    public static TheoryData<string, int> States => [.. PageStates.All.Keys.Select((state, place) => (state, place % Ways.Length))];

    [Theory]
    [MemberData(nameof(States))]
    public async Task In_each_state_the_page_can_be_used_by_everybody(string state, int way)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All[state]);

        await LookAsync(house, ["/"], way);
    }

    [Theory]
    [InlineData("possible", 0)]
    [InlineData("first-day", 1)]
    public async Task So_can_each_of_the_other_pages(string state, int way)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All[state]);
        var paths = (await house.GetAsync("/"))
            .QuerySelectorAll(".contents a")
            .Select(link => link.GetAttribute("href")!)
            .Where(path => path.StartsWith('/'));

        await LookAsync(
            house,
            [
                .. paths, "/journal/stage", "/journal/spray", "/journal/scout", "/journal/pick", "/journal/leaf-fall",
                "/journal/shelter", "/report", "/nothing", "/enter",
            ],
            way);
    }

    [Fact]
    public async Task So_can_a_timetable_a_refused_value_what_was_written_and_a_form_that_came_back()
    {
        var garden = SprayingPageTests.Wall;
        await using var house = await PageHouse.OpenAsync(garden with
        {
            Past = [.. garden.Past, PageGarden.Message("garden/rain", "{\"mm\":\"lots\"}")],
            Examine = _ => Task.FromResult(new SetUpLook(
                garden.Now,
                "garden.yaml",
                null,
                [],
                [Sentence.InEnglish("Line 4: a note.")],
                new LinesToAdd("words.liquid", "a line = that is not there"),
                [
                    new FoundThing($"clock", Finding.Wrong, $"It is wrong.", $"Set it."),
                    new FoundThing($"disk", Finding.Fine, $"It has room.", null),
                ])),
        });
        using var written = await house.PostAsync(
            "/journal/spray",
            ("tree", "gate-nectarine"),
            ("volume-gate-nectarine", "3"),
            ("product", "winter-copper"),
            ("rate-winter-copper", "5"),
            ("day", "today"));

        await LookAsync(house, ["/spraying", "/sensors", "/sensors/message", "/set-up", written.Headers.Location!.OriginalString], way: 0);

        var page = await chromium.OpenAsync(house, width: 320, hasScript: false);
        await page.GotoAsync("/journal/scout");
        await page.ClickAsync("main .btn:not(.slim)");
        Assert.Equal(1, await page.Locator(".errs").CountAsync());
        await page.ClickAsync(".errs a");
        Assert.Contains("#", page.Url, StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("color-contrast", "<p style='color: #bbb; background: #fff'>pale</p>")]
    [InlineData("label", "<input>")]
    [InlineData("target-size", "<button style='font-size: 8px'>1</button><button style='font-size: 8px'>2</button>")]
    public async Task What_not_everybody_can_use_is_found(string rule, string content)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"]);
        var page = await chromium.OpenAsync(house);
        await page.AddInitScriptAsync(Axe);
        // The script comes with a page that is gone to, not with one that is put down.
        await page.GotoAsync("about:blank");
        await page.SetContentAsync(content);
        Assert.Contains(rule, string.Join(' ', await ViolationsAsync(page)), StringComparison.Ordinal);
        Assert.Contains(rule, string.Join(' ', await ViolationsAsync(page)), StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }

    /// <summary>Looks at the pages in several windows at once.</summary>
    private Task LookAsync(PageHouse house, IReadOnlyList<string> paths, int way) =>
        Task.WhenAll(paths.Chunk((paths.Count + AtOnce - 1) / AtOnce).Select(some => LookInOneAsync(house, some, Ways[way])));

    private async Task LookInOneAsync(PageHouse house, IReadOnlyList<string> paths, (ColorScheme Narrow, ColorScheme Wide) themes)
    {
        var page = await chromium.OpenAsync(house, width: 320);
        await page.AddInitScriptAsync(Axe);
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
        page.Response += (_, answer) =>
            bytes += long.Parse(answer.Headers.GetValueOrDefault("content-length", "0"), System.Globalization.CultureInfo.InvariantCulture);
        foreach (var path in paths)
        {
            bytes = 0;
            await SetAsync(themes.Narrow, 320);
            await page.GotoAsync(path, new PageGotoOptions { WaitUntil = WaitUntilState.Load });
            Assert.InRange(bytes, 1, MostBytes);
            Assert.True(
                await page.EvaluateAsync<bool>("document.documentElement.scrollWidth <= innerWidth"),
                $"{path} scrolls sideways at 320 px");
            await AxeAsync(page, $"{path} {themes.Narrow}, 320 px");
            await SetAsync(themes.Wide, 1280);
            await page.EvaluateAsync("document.querySelectorAll('details').forEach(one => one.open = true)");
            await AxeAsync(page, $"{path} {themes.Wide}, 1280 px");
        }

        Assert.Empty(foreign);
        Assert.Empty(complaints);
        await page.Context.CloseAsync();

        async Task SetAsync(ColorScheme theme, int width)
        {
            await page.EmulateMediaAsync(new PageEmulateMediaOptions { ColorScheme = theme });
            await page.SetViewportSizeAsync(width, 800);
        }
    }

    private static async Task AxeAsync(IPage page, string where)
    {
        var violations = await ViolationsAsync(page);
        Assert.True(violations.Length == 0, $"{where}: {string.Join("; ", violations)}");
    }

    private static Task<string[]> ViolationsAsync(IPage page) =>
        page.EvaluateAsync<string[]>(
            """
            async () => (await axe.run({
                    resultTypes: ['violations'],
                    // It runs this one of WCAG 2.2 only where it is asked to.
                    rules: { 'target-size': { enabled: true } },
                })).violations
                .map(one => `${one.id} (${one.help}): ${one.nodes.slice(0, 3).map(node => node.html).join(' ')}`)
            """);
}
