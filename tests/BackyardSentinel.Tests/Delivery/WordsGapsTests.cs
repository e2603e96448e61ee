using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Web;

namespace BackyardSentinel.Tests.Delivery;

/// <summary>
/// A file of words of the grower's own that lacks what the built-in one has, as after an update: it is used, the built-in words of the
/// garden's language stand in, and all that is missing is named.
/// </summary>
public class WordsGapsTests
{
    private const string Stood = "No temperature has stood still for a day.";

    /// <summary>The German file, with words of another language in it, as somebody had it before an update.</summary>
    private static readonly string Old = WordsText.German.Text
        .Replace("level.severe = schwer\n", "", StringComparison.Ordinal)
        .Replace("set-up.no-notes = Keine Hinweise.\n", "", StringComparison.Ordinal)
        .Replace(Stood + " = Keine Temperatur stand einen Tag lang still.\n", "", StringComparison.Ordinal)
        .Replace("--- disk-low title\nSpeicher fast voll: {{ place }}\n", "", StringComparison.Ordinal)
        .Replace("\nlanguage = de\n", "\nlanguage = gsw\n", StringComparison.Ordinal)
        .Replace("level.likely = wahrscheinlich", "level.likely = wohl", StringComparison.Ordinal);

    private static readonly DateTimeOffset At = new(2027, 3, 4, 9, 0, 0, TimeSpan.Zero);

    private static AlertWords Read(string text, string? language = null) => AlertWords.Read(text, "mine.liquid", language: language);

    [Theory]
    [InlineData("en", "Disk nearly full: garden", "Nothing to note.", Stood)]
    [InlineData("de", "Speicher fast voll: Garten", "Keine Hinweise.", "Keine Temperatur stand einen Tag lang still.")]
    public void What_is_missing_is_told_in_the_built_in_words_of_the_gardens_language(
        string language, string title, string noNotes, string sentence)
    {
        var words = Read(Old, language);

        Assert.Equal(4, words.Gaps!.Missing.Count);
        Assert.Empty(words.Gaps.Unused);
        Assert.Equal(title.Replace("garden", "Garten", StringComparison.Ordinal),
            words.Say(Alert.Of(new DiskLow(At, 90), At), _ => TimeZoneInfo.Utc).Title);
        Assert.Equal(noNotes, words.Page(TimeZoneInfo.Utc).Say("set-up.no-notes"));
        Assert.Equal(
            $"<span lang=\"{language}\">{sentence}</span>",
            Html(words.Page(TimeZoneInfo.Utc).Tell($"No temperature has stood still for a day.")));
        Assert.Contains("wohl", words.Say(ExampleAlerts.OfEveryKind()[0], _ => TimeZoneInfo.Utc).Title, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_missing_is_counted_and_can_be_pasted_at_the_end_of_the_file()
    {
        var gaps = Read(Old, "de").Gaps!;

        Assert.Equal(
            ["mine.liquid lacks 4 lines, for which the built-in words stand in (language: de); check shows what to add"],
            gaps.Says.Select(says => says.Text));
        Assert.Equal(
            $"""
            --- words
            level.severe = schwer
            --- sentences
            {Stood} = Keine Temperatur stand einen Tag lang still.
            --- page
            set-up.no-notes = Keine Hinweise.
            --- disk-low title
            Speicher fast voll: {"{{"} place {"}}"}

            """,
            gaps.ToAdd);
        Assert.Empty(Read(Old + "\n" + gaps.ToAdd, "de").Gaps!.Says);
    }

    [Fact]
    public void A_name_that_is_asked_for_nowhere_is_told_with_its_line()
    {
        var gaps = Read(Old.Replace("now.building = ", "now.bilding = ", StringComparison.Ordinal), "de").Gaps!;
        var line = Old.Split('\n').ToList().FindIndex(one => one.StartsWith("now.building = ", StringComparison.Ordinal)) + 1;

        Assert.Contains(gaps.Missing, gap => gap is { Heading: "page", Name: "now.building" });
        Assert.Equal(
            $"mine.liquid has what is asked for nowhere and is not used: 'now.bilding' in line {line}; spell its name as the built-in file "
                + "does, or take it out",
            gaps.Says[^1].Text);
    }

    [Fact]
    public void A_file_of_a_few_changes_is_no_translation_with_gaps()
    {
        var words = Read("--- words\nlevel.likely = quite likely\n");

        Assert.Contains("quite likely", words.Say(ExampleAlerts.OfEveryKind()[0], _ => TimeZoneInfo.Utc).Title, StringComparison.Ordinal);
        Assert.Matches("^mine.liquid has 1 of [0-9]{4} lines; for all others the built-in words stand in", words.Gaps!.Says.Single().Text);
        Assert.Empty(words.Gaps.ToAdd);
    }

    [Theory]
    [InlineData("")]
    [InlineData("sites:\n  - id: yard\n")]
    [InlineData("--- nothing\nof ours\n")]
    public void A_file_in_which_nothing_is_known_is_refused(string text) => Assert.Equal(
        "mine.liquid: nothing in it is known as words of alerts or page; copy the built-in file, and change what stands there.",
        Assert.Throws<WordsProblemException>(() => Read(text)).Message);

    [Fact]
    public void A_sentence_that_stands_there_twice_is_refused_with_its_line() => Assert.Equal(
        "mine.liquid:5: the sentence 'Good morning' stands there twice; take one of them out.",
        Assert.Throws<WordsProblemException>(
            () => Read("--- sentences\nGood evening = Guten Abend\n\nGood morning = Guten Morgen\nGood morning = Morgen\n")).Message);

    private static string Html(Microsoft.AspNetCore.Html.IHtmlContent content)
    {
        using StringWriter text = new();
        content.WriteTo(text, System.Text.Encodings.Web.HtmlEncoder.Default);
        return text.ToString();
    }
}
