using System.Text;
using System.Text.Encodings.Web;
using System.Text.Unicode;
using BackyardSentinel.Delivery;
using BackyardSentinel.Live;

namespace BackyardSentinel.Web.Report;

/// <summary>Makes the report as one file.</summary>
public static class ReportPage
{
    private static readonly HtmlEncoder Html = HtmlEncoder.Create(UnicodeRanges.All);

    /// <summary>Puts the seasons of a garden's sites together.</summary>
    /// <param name="garden">The garden's name.</param>
    /// <param name="sites">Their seasons, one at least.</param>
    /// <param name="words">The garden's words.</param>
    /// <param name="made">When it is made, UTC.</param>
    /// <param name="store">The garden's store; <c>null</c>: it has none.</param>
    public static ReportView Of(
        string garden, IReadOnlyList<ReportFacts> sites, AlertWords words, DateTimeOffset made, string? store = null) => new(
        garden,
        words.Page(sites[0].Site.Zone),
        made,
        [.. sites.Select(facts => new ReportSite(facts, words.Page(facts.Site.Zone)) { Store = store })]);

    /// <summary>The report of the season that runs, of the site that is looked at. Runs on the loop's thread.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="now">The garden now.</param>
    /// <returns><c>null</c>: nobody keeps what the season was.</returns>
    internal static ReportView? Of(Visit visit, GardenNow now) => now.Almanacs is not { } almanacs ? null : Of(
        visit.Parts.Garden.Name,
        [new ReportFacts(visit.WatchIn(now), almanacs, now.Journal, now.FreshForecast, now.At)],
        visit.Parts.Words,
        now.At,
        visit.Parts.Garden.Store.Path);

    /// <summary>The report as one HTML file, with its style sheet in it.</summary>
    public static async Task<string> TextAsync(ReportView view)
    {
        using var page = Pages.Report.Create(view with { StyleSheet = Encoding.UTF8.GetString(PageFiles.Read("style.css")) });
        await using var text = new StringWriter();
        await page.RenderAsync(text, Html).ConfigureAwait(false);
        return text.ToString();
    }
}
