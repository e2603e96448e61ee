using static Microsoft.Playwright.Assertions;

namespace BackyardSentinel.Web.Browsers;

/// <summary>
/// Hostile names, notes, alerts, messages and findings in a real browser: no script runs, the page's policy has nothing to forbid, and
/// no element or attribute is there that the page does not have of itself.
/// </summary>
public sealed class HostileTextInBrowserTests(Chromium chromium)
{
    /// <summary>What only text that became markup would have brought.</summary>
    private const string Strange =
        """
        () => [...document.querySelectorAll('*')]
            .filter(one => one.matches('iframe, base, object, embed, template, math, img, [style], script:not([src="/page.js"])')
                || [one.localName, ...one.getAttributeNames()].some(name => name.includes('x55') || name.startsWith('on')))
            .map(one => one.outerHTML.slice(0, 120))
        """;

    [Fact]
    public async Task No_script_of_a_strangers_runs()
    {
        await using var house = await PageHouse.OpenAsync(HostileTextTests.Garden(HostileText.Line));
        var page = await chromium.OpenAsync(house);
        List<string> ran = [];
        page.Dialog += async (_, dialog) =>
        {
            ran.Add($"{page.Url}: a dialog, {dialog.Message}");
            await dialog.DismissAsync();
        };
        // What would run but for the policy is told on the console; the report has no icon, which is no harm.
        page.Console += (_, line) =>
        {
            if (!line.Text.Contains("404", StringComparison.Ordinal))
                ran.Add($"{page.Url}: {line.Text}");
        };
        page.PageError += (_, error) => ran.Add($"{page.Url}: {error}");
        page.Request += (_, request) =>
        {
            if (new Uri(request.Url).Authority != house.Address.Authority)
                ran.Add($"{page.Url} asked {request.Url}");
        };

        string[] paths =
            ["/", "/weather", "/year", "/report", "/journal?all=1", "/journal/spray", "/spraying", "/sensors", "/set-up", "/alert/x55"];
        foreach (var path in paths)
        {
            await page.GotoAsync(path);
            await page.EvaluateAsync("document.querySelectorAll('details').forEach(one => one.open = true)");
            await LookAsync();
        }

        // A message that is shown, through the form as a person would paste it.
        await page.GotoAsync("/sensors/message");
        await page.FillAsync("#topic", "a/topic");
        await page.FillAsync("#message", HostileText.Line);
        await page.ClickAsync("form .btn");
        await Expect(page.Locator("main h2").First).ToBeVisibleAsync();
        await LookAsync();

        // And what comes from the broker: each text as a topic, as a message, as the name of a value and as the value.
        await page.GotoAsync("/sensors/message");
        await page.ClickAsync("form[action='/sensors/listen'] .btn");
        await Expect(page.Locator("main pre").First).ToContainTextAsync("topic: ");
        await Expect(page.Locator("main")).ToContainTextAsync("<x55>");
        await LookAsync();
        await page.GotoAsync("/set-up");
        await Expect(page.Locator("main h3").First).ToBeVisibleAsync();
        await LookAsync();

        Assert.Empty(ran);
        await page.Context.CloseAsync();

        async Task LookAsync() =>
            ran.AddRange((await page.EvaluateAsync<string[]>(Strange)).Select(element => $"{page.Url} has {element}"));
    }
}
