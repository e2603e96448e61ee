using Microsoft.Playwright;

namespace BackyardSentinel.Web.Browsers;

/// <summary>
/// The longest names and words on the narrowest phone, also with large letters: nothing goes beyond the page, in a drawing neither.
/// What a table cannot give way scrolls in a box of its own.
/// </summary>
public sealed class NarrowTests(Chromium chromium)
{
    private const int Width = 320;

    /// <summary>A name without any place at which it could break.</summary>
    private const string OneWord = "Spalierpfirsichbaumreihenanfangspfostennachbar";

    /// <summary>What lies beyond the page's right edge after the letters were set to a size, in percent.</summary>
    private const string Beyond =
        """
        percent => {
            document.documentElement.style.fontSize = percent + '%';
            const beyond = [...document.querySelectorAll('main *, .head *, .contents *')]
                .filter(one => !one.closest('.scroll > *') && (!one.closest('svg') || one.matches('.strip text')))
                .filter(one => one.getBoundingClientRect().right > innerWidth + 0.5)
                .map(one => `${one.localName} ${one.textContent.trim().slice(0, 60)}`);
            return document.documentElement.scrollWidth > innerWidth ? ['the page scrolls sideways', ...beyond] : beyond;
        }
        """;

    private static readonly string[] EachPage =
    [
        "/", "/weather", "/weather?days=30", "/year", "/year?planting=gate-nectarine", "/report", "/journal", "/journal/spray", "/spraying",
        "/sensors", "/sensors/message",
    ];

    [Theory]
    [InlineData("rules", false)]
    [InlineData("rules", true)]
    [InlineData("building", true)]
    [InlineData(OneWord, false)]
    [InlineData(OneWord, true)]
    public async Task Pages_and_drawings_fit_a_narrow_phone_with_letters_of_any_size(string state, bool inGerman)
    {
        var garden = state == OneWord
            ? SprayingPageTests.Wall with
            {
                File = new[] { "the gate", "sensor by the wall", "The blue tub" }.Aggregate(
                    PageGarden.Wall, (file, name) => file.Replace("name: " + name, "name: " + OneWord, StringComparison.Ordinal)),
            }
            : PageStates.All[state];
        await using var house = await PageHouse.OpenAsync(inGerman ? garden.InGerman() : garden);
        var page = await chromium.OpenAsync(house, width: Width);
        List<string> wide = [];
        foreach (var path in EachPage)
        {
            await page.GotoAsync(path, new PageGotoOptions { WaitUntil = WaitUntilState.Load });
            await page.EvaluateAsync("document.querySelectorAll('details').forEach(one => one.open = true)");
            foreach (var percent in (int[])[100, 130])
            {
                var beyond = await page.EvaluateAsync<string[]>(Beyond, percent);
                wide.AddRange(beyond.Select(what => $"{path}, letters of {percent} %: {what}"));
            }
        }

        Assert.Empty(wide);
        await page.Context.CloseAsync();
    }
}
