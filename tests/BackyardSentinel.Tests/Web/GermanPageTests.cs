using System.Text.RegularExpressions;
using AngleSharp.Html.Dom;
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

    // What stands between the braces of an English sentence; short pieces, figures and what reads alike in German prove nothing.
    private static readonly string[] English =
    [
        .. WordsText.English.Words
            .Where(word => word.Key.StartsWith("page:", StringComparison.Ordinal) && word.Value != WordsText.German.Words[word.Key])
            .Select(word => word.Value)
            .Concat(WordsText.English.Sentences.Keys)
            .SelectMany(word => Braces().Split(word))
            .Select(piece => piece.Trim(' ', '.', ',', ':', ';'))
            .Where(piece => piece.Contains(' ', StringComparison.Ordinal) && piece.Length >= 8)
            .Where(piece => !WordsText.German.Words.Values.Concat(WordsText.German.Sentences.Values)
                .Any(word => word.Contains(piece, StringComparison.Ordinal)))
            .Distinct(),
    ];

    public static TheoryData<string> States => [.. PageStates.All.Keys];

    [Theory]
    [MemberData(nameof(States))]
    public async Task No_English_sentence_is_left(string state)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All[state].InGerman());
        List<string> left = [];

        Assert.InRange(English.Length, 300, 4000);
        foreach (var path in Paths)
        {
            if (await TryAsync(house, path) is not { } page)
                continue;
            Assert.Equal("de", page.DocumentElement.GetAttribute("lang"));
            left.AddRange(EnglishIn(page).Select(piece => $"{path}: {piece}"));
        }

        Assert.Empty(left);
    }

    [Fact]
    public async Task A_missing_page_and_what_cannot_be_written_are_told_in_German()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"].InGerman());

        using var missing = await house.Browser.GetAsync(new Uri("/nowhere", UriKind.Relative), TestContext.Current.CancellationToken);
        using var unfilled = await house.PostAsync("/journal/stage");

        Assert.Contains("Diese Seite gibt es nicht.", WordsOf(await PageHouse.ParseAsync(missing)), StringComparison.Ordinal);
        Assert.Contains("Auswählen, wie die Knospen aussehen.", WordsOf(await PageHouse.ParseAsync(unfilled)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_was_written_a_plan_and_its_cautions_and_what_speaks_against_an_entry_are_told_in_German()
    {
        await using var house = await PageHouse.OpenAsync(SprayingPageTests.Wall.InGerman());
        (string, string)[] spray = [("tree", "gate-nectarine"), ("volume-gate-nectarine", "3"), ("product", "winter-copper"),
            ("rate-winter-copper", "5"), ("day", "today")];
        using var written = await house.PostAsync("/journal/spray", spray);
        using var looked = await house.PostAsync(
            "/journal/scout", ("tree", "white-peach"), ("shoots", "20"), ("curled", "12"), ("worst", "curled"), ("day", "today"));
        using var again = await house.PostAsync("/journal/spray", [.. spray[..1], ("volume-gate-nectarine", "4"), .. spray[2..]]);
        IHtmlDocument[] pages =
        [
            await house.GetAsync("/spraying"),
            await house.GetAsync(written.Headers.Location!.OriginalString),
            await house.GetAsync(looked.Headers.Location!.OriginalString),
            await PageHouse.ParseAsync(again),
        ];

        Assert.Contains("Das Etikett ist Gesetz", WordsOf(pages[0]), StringComparison.Ordinal);
        Assert.Contains("Menschen und Haustiere fernhalten", WordsOf(pages[1]), StringComparison.Ordinal);
        Assert.Contains("12 von 20 Trieben: stark", WordsOf(pages[2]), StringComparison.Ordinal);
        Assert.Contains("schon eingetragen", WordsOf(pages[3]), StringComparison.Ordinal);
        Assert.Empty(pages.SelectMany(EnglishIn));
    }

    [Fact]
    public async Task The_calendar_is_in_German()
    {
        await using var house = await PageHouse.OpenAsync(SprayingPageTests.Wall.InGerman());

        // Long lines are folded.
        var sent = await house.Browser.GetStringAsync(new Uri("/calendar.ics", UriKind.Relative), TestContext.Current.CancellationToken);
        var calendar = sent.Replace("\r\n ", "", StringComparison.Ordinal);
        var told = calendar.Split("\r\n")
            .Where(line => line.StartsWith("SUMMARY", StringComparison.Ordinal) || line.StartsWith("DESCRIPTION", StringComparison.Ordinal))
            .Select(line => Names().Replace(line, ""))
            .ToList();

        Assert.Contains("PRODID:-//Backyard Sentinel//plan//DE", calendar, StringComparison.Ordinal);
        Assert.Contains(told, line => line.Contains("Zeit für", StringComparison.Ordinal));
        Assert.Contains(told, line => line.Contains("letzter Tag", StringComparison.Ordinal));
        Assert.DoesNotContain(told, line => FunctionWords().IsMatch(line));
        Assert.DoesNotContain(English, piece => told.Any(line => line.Contains(piece, StringComparison.Ordinal)));
    }

    [Fact]
    public async Task Days_and_figures_are_written_as_German_has_them()
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["possible"].InGerman());

        var headline = WordsOf(await house.GetAsync("/"));

        Assert.Matches(@"Kräuselwetter möglich seit (\w\w, \d+\. März, )?\d\d:\d\d: \d+(,\d)? h nass", headline);
        Assert.DoesNotMatch(@"\d\.\d+ (mm|°C|h)", headline);
        Assert.Matches(@"\b(Mo|Di|Mi|Do|Fr|Sa|So), \d+\. März\b", headline);
    }

    private static async Task<IHtmlDocument?> TryAsync(PageHouse house, string path)
    {
        using var answer = await house.Browser.GetAsync(new Uri(path, UriKind.Relative), TestContext.Current.CancellationToken);
        return answer.IsSuccessStatusCode ? await PageHouse.ParseAsync(answer) : null;
    }

    /// <summary>What of a page is English and not marked as such: known words, and lines with a word that German has not.</summary>
    internal static IEnumerable<string> EnglishIn(IHtmlDocument page)
    {
        foreach (var marked in page.QuerySelectorAll("[lang=en]").ToList())
            marked.Remove();
        var text = WordsOf(page);
        return English.Where(piece => text.Contains(piece, StringComparison.Ordinal))
            .Concat(Lines(page).Where(line => FunctionWords().IsMatch(line)));
    }

    /// <summary>All that a person reads or hears: text, and the attributes that hold words.</summary>
    internal static string WordsOf(IHtmlDocument page) => string.Join(
        '\n',
        page.All.SelectMany(one => new[] { "aria-label", "title", "alt", "placeholder", "content" }.Select(one.GetAttribute))
            .OfType<string>()
            .Append(page.DocumentElement.TextContent)).Replace('\u00a0', ' ');

    /// <summary>What is read, piece by piece, without the names that this garden's things have.</summary>
    private static IEnumerable<string> Lines(IHtmlDocument page) => WordsOf(page).Split('\n')
        .Select(line => Names().Replace(line, "").Trim())
        // A message as it was sent.
        .Where(line => !line.Contains("{\"at\"", StringComparison.Ordinal))
        .Where(line => line.Length > 0)
        .Distinct();

    /// <summary>Words without which hardly an English sentence is written; German has none of them.</summary>
    [GeneratedRegex(
        @"\b(the|and|are|were|with|from|not|has|have|when|which|since|of|is|to|for|it|its|no|by|on|at|be|been|look|this|that)\b",
        RegexOptions.IgnoreCase)]
    private static partial Regex FunctionWords();

    [GeneratedRegex("the blue tub|the gate|the old [a-z ]+|no-rain-day-without-a-second-one|"
        + "white-peach|gate-nectarine|south-wall|winter-copper|Weather by an invented office|an "
        + "invented office|sensor by the wall|CC BY 4.0|Dormant oil|Backyard Sentinel|--for 10m", RegexOptions.IgnoreCase)]
    private static partial Regex Names();

    [GeneratedRegex(@"\{\w+\}")]
    private static partial Regex Braces();
}
