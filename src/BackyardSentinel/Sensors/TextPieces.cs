using System.Globalization;
using System.Net;
using System.Text;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>
/// A message that is one line of text with several values: <c>T=21.5;H=81</c>, <c>t=21.5&amp;h=81</c>, <c>21.5,81,0</c>. What
/// separates them is told from the text: semicolons, else ampersands (as in a web form), line ends and tabs, commas, spaces.
/// </summary>
internal sealed class TextPieces
{
    private const int Most = 1000;

    private readonly List<(string? Name, string Value)> _pieces;

    private TextPieces(List<(string? Name, string Value)> pieces) => _pieces = pieces;

    /// <summary>Splits a text, or says why it cannot be.</summary>
    /// <param name="utf8">The text's bytes.</param>
    /// <param name="decimalComma">A comma is the decimal mark, so it separates nothing.</param>
    /// <param name="reason">Why there are no pieces.</param>
    public static TextPieces? Split(ReadOnlySpan<byte> utf8, bool decimalComma, out Sentence? reason)
    {
        reason = null;
        var text = Encoding.UTF8.GetString(utf8).Trim(' ', '\t', '\r', '\n', '\0');
        var separators = Separators(text, decimalComma);
        if (text.Count(separators.Contains) >= Most)
        {
            reason = $"the message has more than {Most} values";
            return null;
        }

        var isForm = separators is ['&'];
        List<(string? Name, string Value)> pieces = [];
        foreach (var part in text.Split(separators, StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            var at = part.IndexOfAny(['=', ':']);
            var (name, value) = at > 0 ? (part[..at].Trim(), part[(at + 1)..].Trim()) : (null, part);
            pieces.Add(isForm ? (WebUtility.UrlDecode(name), WebUtility.UrlDecode(value)!) : (name, value));
        }

        if (separators is [','] && pieces.Exists(piece => piece.Name is null) && pieces.Exists(piece => piece.Name is not null))
        {
            reason = $"some values between the commas have no name; say decimal_comma for this series if the comma is a decimal mark";
            return null;
        }

        return new TextPieces(pieces);
    }

    /// <summary>The value of a name, or at a place such as <c>[0]</c>; <c>null</c>: there is none.</summary>
    /// <param name="path">The name or place.</param>
    public string? Find(string path)
    {
        if (path is ['[', .. var inside, ']'])
        {
            if (int.TryParse(inside, NumberStyles.None, CultureInfo.InvariantCulture, out var place))
                return place < _pieces.Count ? _pieces[place].Value : null;
            path = inside.Trim('"');
        }

        return _pieces.Find(piece => piece.Name == path).Value;
    }

    /// <summary>All pieces with their places.</summary>
    public IEnumerable<(string? Name, string Value, int Place)> All => _pieces.Select((piece, place) => (piece.Name, piece.Value, place));

    /// <summary>What the message has, for the reader of a message.</summary>
    public Sentence Said => _pieces.Count == 0
        ? $"nothing"
        : Sentence.Names(_pieces.Take(12).Select((piece, place) => piece.Name ?? $"[{place}]"));

    private static char[] Separators(string text, bool decimalComma) =>
        text.Contains(';', StringComparison.Ordinal) ? [';']
        : text.Contains('&', StringComparison.Ordinal) ? ['&']
        : text.AsSpan().ContainsAny('\n', '\t') ? ['\n', '\t']
        : text.Contains(',', StringComparison.Ordinal) && !decimalComma ? [',']
        : [' '];
}
