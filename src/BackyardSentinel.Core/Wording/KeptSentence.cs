using System.Globalization;
using System.Text;

namespace BackyardSentinel.Wording;

/// <summary>
/// A sentence as a text that is kept, to be told later in any language: its English words, with what fills the holes between two control
/// characters, and a letter that says of what sort it is.
/// </summary>
public static class KeptSentence
{
    private const char Opens = '\u0002', Closes = '\u0003';

    /// <summary>Writes it.</summary>
    /// <param name="sentence">The sentence.</param>
    public static string Write(Sentence sentence)
    {
        StringBuilder text = new();
        foreach (var part in sentence.IsWhole ? [sentence] : sentence.Parts)
            _ = part switch
            {
                Sentence { IsWhole: true } whole => Wrapped('w', string.Concat(whole.Parts.Select(one => Write(Only(one))))),
                Sentence inner => Wrapped('s', Write(inner)),
                Name name => Wrapped('n', Plain(name.Text)),
                Figure figure => Wrapped('f', Plain(figure.Text)),
                English words => Wrapped('e', Plain(words.Text)),
                LocalTime time => Wrapped('t', string.Create(CultureInfo.InvariantCulture, $"{time.At:s}{time.Form}")),
                _ => text.Append(Plain((string)part)),
            };
        return text.ToString();

        StringBuilder Wrapped(char sort, string inner) => text.Append(Opens).Append(sort).Append(inner).Append(Closes);
    }

    /// <summary>Reads what <see cref="Write"/> wrote; any other text is taken for English words.</summary>
    /// <param name="kept">The text.</param>
    public static Sentence Read(string kept)
    {
        var at = 0;
        return Parts(kept, ref at) is { } parts && at == kept.Length
            ? parts is [Sentence { IsWhole: true } whole] ? whole : Sentence.Of(parts)
            : Sentence.InEnglish(Plain(kept));
    }

    private static Sentence Only(object part) => Sentence.Of([part]);

    /// <summary>The parts up to the end, or to where a filling closes; <c>null</c>: it was not written so.</summary>
    private static List<object>? Parts(string kept, ref int at)
    {
        List<object> parts = [];
        while (at < kept.Length && kept[at] != Closes)
        {
            var end = kept.AsSpan(at).IndexOfAny(Opens, Closes) is >= 0 and var length ? at + length : kept.Length;
            if (end > at)
                parts.Add(kept[at..end]);
            at = end;
            if (at == kept.Length || kept[at] == Closes)
                break;
            if (at + 1 >= kept.Length)
                return null;
            var sort = kept[at + 1];
            at += 2;
            if (Parts(kept, ref at) is not { } inner || at >= kept.Length || Filling(sort, inner) is not { } filling)
                return null;
            at++;
            parts.Add(filling);
        }

        return parts;
    }

    private static object? Filling(char sort, List<object> inner)
    {
        if (sort is 's' or 'w')
            return sort == 's' ? Sentence.Of(inner) : Sentence.Of(inner).AsWhole();
        var text = inner switch { [] => "", [string only] => only, _ => null };
        return (sort, text) switch
        {
            ('n', not null) => new Name(text),
            ('f', not null) => new Figure(text),
            ('e', not null) => new English(text),
            ('t', { Length: > 19 }) when DateTime.TryParseExact(
                text[..19], "s", CultureInfo.InvariantCulture, DateTimeStyles.None, out var time) && Form(text[19..]) is { } form =>
                new LocalTime(time, form),
            _ => null,
        };
    }

    private static TimeForm? Form(string word)
    {
        foreach (var form in Enum.GetValues<TimeForm>())
        {
            if (form.ToString() == word)
                return form;
        }

        return null;
    }

    private static string Plain(string text) => text.Replace(Opens, '?').Replace(Closes, '?');
}
