using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text;

namespace BackyardSentinel.Wording;

/// <summary>
/// What the program says to people, a sentence or a piece of one: an English pattern and what fills its holes. It reads as English by
/// itself; whoever speaks another language looks its <see cref="Pattern"/> up and fills the holes in their own way. It is written as an
/// interpolated string, whose holes take only what can be told in every language: no bare string, so that no English hides in one.
/// </summary>
[InterpolatedStringHandler]
public sealed class Sentence : IEquatable<Sentence>
{
    private readonly List<object> _parts;
    private string? _text;

    /// <summary>Begins it; the compiler calls this and what appends.</summary>
    public Sentence(int literalLength, int formattedCount) => _parts = new List<object>((2 * formattedCount) + (literalLength > 0 ? 1 : 0));

    private Sentence(List<object> parts, bool isWhole) => (_parts, IsWhole) = (parts, isWhole);

    /// <summary>The English words, with <c>{0}</c>, <c>{1}</c> and so on for what is filled in.</summary>
    public string Pattern
    {
        get
        {
            StringBuilder text = new();
            var hole = 0;
            foreach (var part in _parts)
                _ = part is string literal ? text.Append(literal) : text.Append(CultureInfo.InvariantCulture, $"{{{hole++}}}");
            return text.ToString();
        }
    }

    /// <summary>
    /// What fills the holes: a <see cref="Name"/>, a <see cref="Figure"/>, a <see cref="LocalTime"/>, <see cref="English"/> or a sentence
    /// each.
    /// </summary>
    public IEnumerable<object> Fillings => _parts.Where(part => part is not string);

    /// <summary>Words and fillings in their order.</summary>
    internal IReadOnlyList<object> Parts => _parts;

    /// <summary>It begins with a capital letter and ends with a full stop, whatever it is put together from.</summary>
    public bool IsWhole { get; }

    /// <summary>It has words of its own; else it only joins others.</summary>
    public bool HasWords => _parts.Exists(part => part is string literal && literal.Any(char.IsLetter));

    /// <summary>The sentences that it joins; itself where it has words of its own.</summary>
    public IEnumerable<Sentence> Pieces => HasWords ? [this] : _parts.OfType<Sentence>();

    /// <summary>In English.</summary>
    public string Text => _text ??= IsWhole ? Whole(string.Concat(_parts)) : string.Concat(_parts);

    /// <summary>Several of them in a row.</summary>
    /// <param name="between">What stands between them: no words.</param>
    /// <param name="all">The sentences.</param>
    public static Sentence Joined(string between, IEnumerable<Sentence> all)
    {
        List<object> parts = [];
        foreach (var one in all)
        {
            if (parts.Count > 0)
                parts.Add(between);
            parts.Add(one);
        }

        return new Sentence(parts, isWhole: false);
    }

    /// <summary>The name of something, which is the same in all languages.</summary>
    /// <param name="name">The name.</param>
    public static Sentence Of(string name) => $"{new Name(name)}";

    /// <summary>A sentence of such parts.</summary>
    internal static Sentence Of(IReadOnlyList<object> parts) => new([.. parts], isWhole: false);

    /// <summary>Names in a row.</summary>
    /// <param name="names">The names.</param>
    public static Sentence Names(IEnumerable<string> names) => Joined(", ", names.Select(Of));

    /// <summary>What is to be had in English only.</summary>
    /// <param name="words">The words.</param>
    public static Sentence InEnglish(string words) => $"{new English(words)}";

    /// <summary>The same with its names, and what is in English only, made fit to be shown.</summary>
    /// <param name="fit">Makes a text fit.</param>
    public Sentence Fit(Func<string, string> fit) => new(
        _parts.ConvertAll<object>(part => part switch
        {
            Name name => new Name(fit(name.Text)),
            English words => new English(fit(words.Text)),
            Sentence inner => inner.Fit(fit),
            _ => part,
        }),
        IsWhole);

    /// <summary>The same with a capital letter at its beginning and a full stop.</summary>
    public Sentence AsWhole() => new(_parts, isWhole: true);

    /// <summary>The same with a full stop, where it has neither that nor a question mark.</summary>
    public Sentence Ended() => IsEnded(Text) ? this : $"{this}.";

    /// <summary>A text as a whole sentence.</summary>
    /// <param name="text">Not empty.</param>
    public static string Whole(string text) => $"{char.ToUpperInvariant(text[0])}{text[1..]}{(IsEnded(text) ? "" : ".")}";

    /// <summary>A text ends as a sentence does.</summary>
    /// <param name="text">The text.</param>
    public static bool IsEnded(string text) => text.EndsWith('.') || text.EndsWith('?');

    /// <summary>Words.</summary>
    public void AppendLiteral(string value) => _parts.Add(value);

    /// <summary>Another sentence within it.</summary>
    public void AppendFormatted(Sentence value) => _parts.Add(value);

    /// <summary>A name.</summary>
    public void AppendFormatted(Name value) => _parts.Add(value);

    /// <summary>Words that are to be had in English only.</summary>
    public void AppendFormatted(English value) => _parts.Add(value);

    /// <summary>A figure.</summary>
    public void AppendFormatted(Figure value) => _parts.Add(value);

    /// <summary>A number.</summary>
    public void AppendFormatted(double value, string? format = null) =>
        _parts.Add(new Figure(value.ToString(format, CultureInfo.InvariantCulture)));

    /// <summary>A local day, such as 4 Mar.</summary>
    public void AppendFormatted(DateOnly value) => AppendFormatted(LocalTime.Of(value, TimeForm.Day));

    /// <summary>A local day or moment.</summary>
    public void AppendFormatted(LocalTime value) => _parts.Add(value);

    /// <summary>In English.</summary>
    public override string ToString() => Text;

    /// <summary>They read the same.</summary>
    public static bool operator ==(Sentence? one, Sentence? other) => one?.Text == other?.Text;

    /// <summary>They read otherwise.</summary>
    public static bool operator !=(Sentence? one, Sentence? other) => !(one == other);

    /// <inheritdoc/>
    public bool Equals(Sentence? other) => this == other;

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as Sentence);

    /// <inheritdoc/>
    public override int GetHashCode() => Text.GetHashCode(StringComparison.Ordinal);
}
