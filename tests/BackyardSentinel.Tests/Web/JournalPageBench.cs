using System.Net;
using AngleSharp.Dom;
using AngleSharp.Html.Dom;

namespace BackyardSentinel.Web;

/// <summary>A garden in February whose journal is written on the page.</summary>
public abstract class JournalPageBench
{
    protected static readonly DateTimeOffset Morning = new(2027, 2, 8, 10, 10, 0, TimeSpan.Zero);

    protected static CancellationToken Ct => TestContext.Current.CancellationToken;

    private protected static PageGarden Wall => new() { Now = Morning, Past = [.. PageGarden.Weather(Morning.AddMinutes(-5), 4)] };

    // NIST Handbook 44: a US gallon is 3.785411784 L, an ounce 28.349523125 g.
    protected static string UsWall => "units: us\n" + PageGarden.Wall
        .Replace("14 m²", "150 sq ft", StringComparison.Ordinal)
        .Replace("6 m²", "65 sq ft", StringComparison.Ordinal)
        .Replace("7 L", "2 gal", StringComparison.Ordinal)
        .Replace("3 L", "0.8 gal", StringComparison.Ordinal)
        .Replace("5 g/L", "0.5 oz/gal", StringComparison.Ordinal)
        .Replace(
            "[-3, -2, 1.5, 5, 9.5, 13, 15, 14.5, 10.5, 6.5, 2, -1.5]",
            "[27, 28, 35, 41, 49, 55, 59, 58, 51, 44, 36, 29]",
            StringComparison.Ordinal)
        .Replace(
            "[3.5, 6.5, 11.5, 16, 21, 24.5, 27, 26.5, 21.5, 15.5, 8.5, 4]",
            "[38, 44, 53, 61, 70, 76, 81, 80, 71, 60, 47, 39]",
            StringComparison.Ordinal);

    protected const string Gate = """
              - id: gate-nectarine
                name: the gate
                kind: nectarine
                canopy_area: 6 m²
                spray_volume: 3 L

        """;

    private protected static async Task<IHtmlDocument> WrittenAsync(PageHouse house, string path, params (string, string)[] form)
    {
        using var answer = await house.PostAsync(path, form);
        Assert.True(answer.StatusCode == HttpStatusCode.SeeOther, await answer.Content.ReadAsStringAsync(Ct));
        return await house.GetAsync(answer.Headers.Location!.OriginalString);
    }

    protected static string Value(IHtmlDocument page, string id) => page.QuerySelector<IHtmlInputElement>("#" + id)!.Value;

    protected static IEnumerable<string> Chosen(IHtmlDocument page) =>
        page.QuerySelectorAll<IHtmlInputElement>("main input").Where(one => one is { IsChecked: true }).Select(one => one.Value);
}
