using BackyardSentinel.Delivery;
using BackyardSentinel.Wording;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web;

/// <summary>Sentences of the program in the markup of a page.</summary>
public static class Telling
{
    /// <summary>Stands where a sentence is filled in; no word has it.</summary>
    private const string Place = "\uFFFC";

    /// <summary>
    /// A sentence in the page's language; what of it is to be had in another one only is marked as such, for those who listen to it.
    /// </summary>
    /// <param name="words">The page's words.</param>
    /// <param name="sentence">The sentence.</param>
    public static IHtmlContent Tell(this PageWords words, Sentence sentence) => Add(new HtmlContentBuilder(), words, sentence);

    /// <summary>The same within a sentence of the page.</summary>
    /// <param name="words">The page's words.</param>
    /// <param name="key">The name of the page's sentence.</param>
    /// <param name="told">The sentence, and the name of what it fills in.</param>
    /// <param name="values">What else is filled in, by name.</param>
    public static IHtmlContentBuilder Tell(
        this PageWords words, string key, (string Name, Sentence Value) told, params ReadOnlySpan<(string Name, string Value)> values)
    {
        var parts = words.Say(key, [(told.Name, Place), .. values]).Split(Place);
        return Add(new HtmlContentBuilder().Append(parts[0]), words, told.Value).Append(string.Concat(parts[1..]));
    }

    private static IHtmlContentBuilder Add(IHtmlContentBuilder to, PageWords words, Sentence sentence)
    {
        foreach (var (text, language) in words.Pieces(sentence))
            _ = language is null || language == words.Language
                ? to.Append(text)
                : to.AppendHtml("<span lang=\"").Append(language).AppendHtml("\">").Append(text).AppendHtml("</span>");
        return to;
    }
}
