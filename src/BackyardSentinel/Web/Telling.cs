using BackyardSentinel.Delivery;
using BackyardSentinel.Wording;
using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web;

/// <summary>Sentences of the program in the markup of a page.</summary>
internal static class Telling
{
    /// <summary>A sentence in the page's language; what of it is to be had in English only is marked as such, for who listens to it.</summary>
    /// <param name="words">The page's words.</param>
    /// <param name="sentence">The sentence.</param>
    public static IHtmlContent Tell(this PageWords words, Sentence sentence)
    {
        var told = new HtmlContentBuilder();
        foreach (var (text, isEnglish) in words.Pieces(sentence))
            _ = isEnglish && words.Language != "en"
                ? told.AppendHtml("<span lang=\"en\">").Append(text).AppendHtml("</span>")
                : told.Append(text);
        return told;
    }
}
