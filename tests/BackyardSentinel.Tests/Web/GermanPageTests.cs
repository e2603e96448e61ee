using System.Text.RegularExpressions;
using AngleSharp.Html.Dom;
using BackyardSentinel.Tests;
using BackyardSentinel.Tests.Delivery;

namespace BackyardSentinel.Web;

/// <summary>A garden with <c>language: de</c>: nothing of the English words is left on its pages.</summary>
public sealed partial class GermanPageTests
{
    private static readonly string[] Paths =
    [
        "/", "/weather", "/year", "/report", "/journal", "/journal/stage", "/journal/spray", "/journal/scout", "/journal/pick",
        "/journal/leaf-fall", "/journal/shelter", "/journal/all", "/spraying", "/sensors", "/set-up",
    ];

    // What the core says in its own sentences is English in every garden.
    private static readonly string Core = string.Concat(
        Directory.EnumerateFiles(
            Checkout.Path("src", "BackyardSentinel.Core"), "*.cs", SearchOption.AllDirectories).Select(File.ReadAllText));

    // What stands between the braces of an English sentence; short pieces, figures and what reads alike in German prove nothing.
    private static readonly string[] English =
    [
        .. WordsText.English.Words
            .Where(word => word.Key.StartsWith("page:", StringComparison.Ordinal) && word.Value != WordsText.German.Words[word.Key])
            .SelectMany(word => Braces().Split(word.Value))
            .Select(piece => piece.Trim(' ', '.', ',', ':', ';'))
            .Where(piece => piece.Contains(' ', StringComparison.Ordinal) && piece.Length >= 8)
            .Where(
                piece =>
                    !WordsText.German.Text.Contains(piece, StringComparison.Ordinal) && !Core.Contains(piece, StringComparison.Ordinal))
            .Distinct(),
    ];

    [Theory]
    [InlineData("first-day")]
    [InlineData("winter")]
    [InlineData("building")]
    [InlineData("severe")]
    [InlineData("covered")]
    [InlineData("maybe")]
    [InlineData("refused")]
    [InlineData("over")]
    public async Task No_English_sentence_of_the_words_is_left(string state)
    {
        await using var house = await PageHouse.OpenAsync(InGerman(PageStates.All[state]));
        List<string> left = [];

        Assert.InRange(English.Length, 300, 2000);
        foreach (var path in Paths)
        {
            if (await TryAsync(house, path) is not { } page)
                continue;
            Assert.Equal("de", page.DocumentElement.GetAttribute("lang"));
            var text = WordsOf(page);
            left.AddRange(English.Where(piece => text.Contains(piece, StringComparison.Ordinal)).Select(piece => $"{path}: {piece}"));
        }

        Assert.Empty(left);
    }

    [Fact]
    public async Task A_missing_page_and_what_cannot_be_written_are_told_in_German()
    {
        await using var house = await PageHouse.OpenAsync(InGerman(PageStates.All["clear"]));

        using var missing = await house.Browser.GetAsync(new Uri("/nowhere", UriKind.Relative), TestContext.Current.CancellationToken);
        using var unfilled = await house.PostAsync("/journal/stage");

        Assert.Contains("Diese Seite gibt es nicht.", WordsOf(await PageHouse.ParseAsync(missing)), StringComparison.Ordinal);
        Assert.Contains("Auswählen, wie die Knospen aussehen.", WordsOf(await PageHouse.ParseAsync(unfilled)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Days_and_figures_are_written_as_German_has_them()
    {
        await using var house = await PageHouse.OpenAsync(InGerman(PageStates.All["possible"]));

        var headline = WordsOf(await house.GetAsync("/"));

        Assert.Matches(@"Kräuselwetter möglich seit (\w\w, \d+\. März, )?\d\d:\d\d: \d+(,\d)? h nass", headline);
        Assert.DoesNotMatch(@"\d\.\d+ (mm|°C|h)", headline);
        Assert.Matches(@"\b(Mo|Di|Mi|Do|Fr|Sa|So), \d+\. März\b", headline);
    }

    private static PageGarden InGerman(PageGarden garden) => garden with
    {
        File = garden.File.Replace("name: Tannery Lane", "name: Gerbergasse\nlanguage: de", StringComparison.Ordinal),
    };

    private static async Task<IHtmlDocument?> TryAsync(PageHouse house, string path)
    {
        using var answer = await house.Browser.GetAsync(new Uri(path, UriKind.Relative), TestContext.Current.CancellationToken);
        return answer.IsSuccessStatusCode ? await PageHouse.ParseAsync(answer) : null;
    }

    /// <summary>All that a person reads or hears: text, and the attributes that hold words.</summary>
    private static string WordsOf(IHtmlDocument page) => string.Join(
        '\n',
        page.All.SelectMany(one => new[] { "aria-label", "title", "alt", "placeholder", "content" }.Select(one.GetAttribute))
            .OfType<string>()
            .Append(page.DocumentElement.TextContent)).Replace('\u00a0', ' ');

    [GeneratedRegex(@"\{\w+\}")]
    private static partial Regex Braces();
}
