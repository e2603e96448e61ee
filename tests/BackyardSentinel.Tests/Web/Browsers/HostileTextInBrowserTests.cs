namespace BackyardSentinel.Web.Browsers;

/// <summary>
/// Hostile names, notes, alerts and messages in a real browser: no script runs, and the page's policy has nothing to forbid.
/// </summary>
public sealed class HostileTextInBrowserTests(Chromium chromium)
{
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
            ["/", "/weather", "/year", "/report", "/journal?all=1", "/journal/spray", "/spraying", "/sensors", "/alert/x55"];
        foreach (var path in paths)
        {
            await page.GotoAsync(path);
            await page.EvaluateAsync("document.querySelectorAll('details').forEach(one => one.open = true)");
        }

        // A message that is shown, through the form as a person would paste it.
        await page.GotoAsync("/sensors/message");
        await page.FillAsync("#topic", "a/topic");
        await page.FillAsync("#message", HostileText.Line);
        await page.ClickAsync("form .btn");
        await Microsoft.Playwright.Assertions.Expect(page.Locator("main h2").First).ToBeVisibleAsync();

        Assert.Empty(ran);
        await page.Context.CloseAsync();
    }
}
