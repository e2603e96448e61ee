using Microsoft.Playwright;

namespace BackyardSentinel.Web.Browsers;

/// <summary>A Chromium of this computer, without a window, for all tests that want one.</summary>
public sealed class Chromium : IAsyncLifetime
{
    /// <summary>The collection of the tests that share it.</summary>
    public const string Shared = "Chromium";

    private static readonly string? Program = new[] { "chromium", "chromium-browser", "google-chrome" }
        .SelectMany(
            name =>
                (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator).Select(folder => Path.Combine(folder, name)))
        .FirstOrDefault(File.Exists);

    private IPlaywright? _playwright;
    private IBrowser? _browser;

    /// <inheritdoc/>
    public async ValueTask InitializeAsync()
    {
        if (Program is null)
            return;
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(
            new BrowserTypeLaunchOptions { ExecutablePath = Program, Args = ["--no-sandbox"] });
    }

    /// <summary>A browser's window with a memory of its own.</summary>
    /// <param name="house">The page's house: what is asked of elsewhere fails the test.</param>
    /// <param name="width">Its width, px.</param>
    /// <param name="isDark">The visitor likes it dark.</param>
    /// <param name="hasScript">It runs scripts.</param>
    public async Task<IPage> OpenAsync(PageHouse house, int width = 360, bool isDark = false, bool hasScript = true)
    {
        Assert.SkipWhen(_browser is null, "No Chromium is installed; 'apt-get install chromium' brings one.");
        var context = await _browser.NewContextAsync(new BrowserNewContextOptions
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
        if (_browser is not null)
            await _browser.DisposeAsync();
        _playwright?.Dispose();
    }
}

/// <summary>The tests that share one Chromium.</summary>
[CollectionDefinition(Chromium.Shared)]
public sealed class ChromiumTests : ICollectionFixture<Chromium>;
