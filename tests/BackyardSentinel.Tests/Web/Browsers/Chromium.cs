using BackyardSentinel.Web.Browsers;
using Microsoft.Playwright;

[assembly: AssemblyFixture(typeof(Chromium))]

namespace BackyardSentinel.Web.Browsers;

/// <summary>A Chromium of this computer, without a window, for all tests that want one; it is started for the first of them.</summary>
public sealed class Chromium : IAsyncDisposable
{
    /// <summary>The first takes a third less of the processor than the others: it has no window to draw.</summary>
    private static readonly string? Program = new[] { "chromium-headless-shell", "chromium", "chromium-browser", "google-chrome" }
        .SelectMany(
            name =>
                (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator).Select(folder => Path.Combine(folder, name)))
        .FirstOrDefault(File.Exists);

    private readonly Lazy<Task<(IPlaywright Playwright, IBrowser Browser)>> _started = new(StartAsync);

    /// <summary>A browser's window with a memory of its own.</summary>
    /// <param name="house">The page's house: what is asked of elsewhere fails the test.</param>
    /// <param name="width">Its width, px.</param>
    /// <param name="isDark">The visitor likes it dark.</param>
    /// <param name="hasScript">It runs scripts.</param>
    public async Task<IPage> OpenAsync(PageHouse house, int width = 360, bool isDark = false, bool hasScript = true)
    {
        Assert.SkipWhen(Program is null, "No Chromium is installed; 'apt-get install chromium' brings one.");
        var (_, browser) = await _started.Value;
        var context = await browser.NewContextAsync(new BrowserNewContextOptions
        {
            BaseURL = house.Address.ToString(),
            ViewportSize = new ViewportSize { Width = width, Height = 740 },
            ColorScheme = isDark ? ColorScheme.Dark : ColorScheme.Light,
            JavaScriptEnabled = hasScript,
            ReducedMotion = ReducedMotion.Reduce,
        });
        context.SetDefaultTimeout(20_000);
        return await context.NewPageAsync();
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (!_started.IsValueCreated)
            return;
        var (playwright, browser) = await _started.Value;
        await browser.DisposeAsync();
        playwright.Dispose();
    }

    private static async Task<(IPlaywright Playwright, IBrowser Browser)> StartAsync()
    {
        var playwright = await Playwright.CreateAsync();
        return (playwright, await playwright.Chromium.LaunchAsync(
            new BrowserTypeLaunchOptions { ExecutablePath = Program, Args = ["--no-sandbox", "--disable-gpu"] }));
    }
}
