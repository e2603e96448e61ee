using Microsoft.Playwright;

namespace BackyardSentinel.Web.Browsers;

/// <summary>The longest names and words on the narrowest phone: nothing goes beyond the page, in a drawing neither.</summary>
public sealed class NarrowTests(Chromium chromium)
{
    private const int Width = 320;

    /// <summary>About as wide as the fonts of phones; the only other one of a bare computer is wider by a tenth and more.</summary>
    private const string Font = "/usr/share/fonts/truetype/liberation/LiberationSans-Regular.ttf";

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Pages_and_drawings_with_long_names_fit_a_narrow_phone(bool inGerman)
    {
        Assert.SkipUnless(File.Exists(Font), "The fonts Liberation are not installed on this machine (fonts-liberation).");
        var garden = PageStates.All["rules"];
        await using var house = await PageHouse.OpenAsync(inGerman ? garden.InGerman() : garden);
        var page = await chromium.OpenAsync(house, width: Width);
        string[] paths =
        [
            "/", "/weather", "/weather?days=30", "/year", "/year?planting=gate-nectarine", "/report", "/journal/spray", "/spraying",
            "/sensors",
        ];
        List<string> wide = [];
        foreach (var path in paths)
        {
            await page.GotoAsync(path, new PageGotoOptions { WaitUntil = WaitUntilState.Load });
            if (!await page.EvaluateAsync<bool>("document.documentElement.scrollWidth <= innerWidth"))
                wide.Add($"{path} scrolls sideways");
            var beyond = await page.EvaluateAsync<string[]>(
                "[...document.querySelectorAll('.strip text')].filter(one => one.getBoundingClientRect().right > innerWidth)"
                + ".map(one => one.textContent)");
            wide.AddRange(beyond.Select(text => $"{path}: {text}"));
        }

        Assert.Empty(wide);
        await page.Context.CloseAsync();
    }
}
