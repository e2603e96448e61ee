using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>What may stand under a key. Readers judge by it; the schema and the documentation are made from it.</summary>
/// <param name="Range">What may stand there, as it follows the word "expected".</param>
public abstract record KeyForm(Sentence Range)
{
    /// <summary>The words that may stand there; empty where it is no choice of words.</summary>
    public virtual IReadOnlyList<string> Words => [];

    /// <summary>Smallest number, amount as it is reckoned, or duration in seconds; <c>null</c> without limit.</summary>
    public virtual double? Least => null;

    /// <summary>Largest number, amount as it is reckoned, or duration in seconds; <c>null</c> without limit.</summary>
    public virtual double? Most => null;

    /// <summary>The same form with more said about it.</summary>
    /// <param name="more">What follows the range.</param>
    public KeyForm And(Sentence more) => this with { Range = $"{Range}{more}" };
}

/// <summary>true or false.</summary>
public sealed record YesNoForm() : KeyForm($"true or false");

/// <summary>A number.</summary>
/// <param name="Range">Its range in words.</param>
/// <param name="Least">The smallest.</param>
/// <param name="Most">The largest.</param>
/// <param name="IsWhole">It has no decimals.</param>
/// <param name="MayBeZero">0 is one of them.</param>
public sealed record NumberForm(Sentence Range, double? Least, double? Most, bool IsWhole = false, bool MayBeZero = true) : KeyForm(Range)
{
    /// <inheritdoc/>
    public override double? Least { get; } = Least;

    /// <inheritdoc/>
    public override double? Most { get; } = Most;
}

/// <summary>A duration such as <c>1h30m</c>.</summary>
/// <param name="Range">Its range in words.</param>
/// <param name="Least">The shortest, s.</param>
/// <param name="Most">The longest, s.</param>
public sealed record DurationForm(Sentence Range, double? Least, double? Most) : KeyForm(Range)
{
    /// <inheritdoc/>
    public override double? Least { get; } = Least;

    /// <inheritdoc/>
    public override double? Most { get; } = Most;
}

/// <summary>One of a closed set of words.</summary>
/// <param name="Range">The choice in words.</param>
/// <param name="Words">The set.</param>
public sealed record WordForm(Sentence Range, IReadOnlyList<string> Words) : KeyForm(Range)
{
    /// <inheritdoc/>
    public override IReadOnlyList<string> Words { get; } = Words;
}

/// <summary>A list of words of a closed set.</summary>
/// <param name="Range">The choice in words.</param>
/// <param name="Words">The set.</param>
public sealed record WordListForm(Sentence Range, IReadOnlyList<string> Words) : KeyForm(Range)
{
    /// <inheritdoc/>
    public override IReadOnlyList<string> Words { get; } = Words;
}

/// <summary>A list of numbers or words of the grower's own.</summary>
/// <param name="Range">What it is, in words.</param>
/// <param name="AreNumbers">Only numbers may stand in it.</param>
public sealed record ValueListForm(Sentence Range, bool AreNumbers) : KeyForm(Range);

/// <summary>A whole number, or one of a few words instead.</summary>
/// <param name="Range">The choice in words.</param>
/// <param name="Instead">The words.</param>
/// <param name="Least">The smallest number.</param>
/// <param name="Most">The largest number.</param>
public sealed record WholeOrWordForm(Sentence Range, IReadOnlyList<string> Instead, double? Least, double? Most) : KeyForm(Range)
{
    /// <inheritdoc/>
    public override double? Least { get; } = Least;

    /// <inheritdoc/>
    public override double? Most { get; } = Most;
}

/// <summary>A line of text.</summary>
/// <param name="Range">What it is, in words.</param>
/// <param name="Longest">Most characters in it; there is at least one.</param>
/// <param name="Pattern">What it matches, for the editor; <c>null</c>: anything. The reader says what is wrong in words of its own.</param>
public sealed record TextForm(Sentence Range, int Longest, string? Pattern = null) : KeyForm(Range);

/// <summary>A number with its unit.</summary>
/// <param name="Range">Its range in words.</param>
/// <param name="Dimension">What is measured.</param>
/// <param name="Least">The smallest, as it is reckoned.</param>
/// <param name="Most">The largest, as it is reckoned.</param>
/// <param name="MayBeBare">A number without a unit is in the garden's.</param>
public sealed record AmountForm(Sentence Range, Dimension Dimension, double? Least, double? Most, bool MayBeBare) : KeyForm(Range)
{
    /// <inheritdoc/>
    public override double? Least { get; } = Least;

    /// <inheritdoc/>
    public override double? Most { get; } = Most;
}

/// <summary>An amount for an amount, such as <c>4 kg/ha</c>.</summary>
/// <param name="Range">Its range in words.</param>
/// <param name="Upper">What may stand above.</param>
/// <param name="Lower">What stands below.</param>
/// <param name="Least">The smallest.</param>
/// <param name="Most">The largest.</param>
/// <param name="MayBeBare">A number without units may stand there too.</param>
public sealed record RatioForm(
    Sentence Range, IReadOnlyList<Dimension> Upper, Dimension Lower, double? Least, double? Most, bool MayBeBare = false) : KeyForm(Range)
{
    /// <inheritdoc/>
    public override double? Least { get; } = Least;

    /// <inheritdoc/>
    public override double? Most { get; } = Most;
}

/// <summary>A list of so many amounts.</summary>
/// <param name="Range">Its range in words.</param>
/// <param name="Count">How many.</param>
/// <param name="Each">The form of each.</param>
public sealed record AmountListForm(Sentence Range, int Count, AmountForm Each) : KeyForm(Range)
{
    /// <inheritdoc/>
    public override double? Least => Each.Least;

    /// <inheritdoc/>
    public override double? Most => Each.Most;
}

/// <summary>Further keys, those of another part.</summary>
/// <param name="Range">What it is, in words.</param>
/// <param name="Part">The part's name.</param>
public sealed record PartForm(Sentence Range, string Part) : KeyForm(Range);

/// <summary>A list of groups of keys, each those of another part.</summary>
/// <param name="Range">What it is, in words.</param>
/// <param name="Part">The part's name.</param>
public sealed record PartListForm(Sentence Range, string Part) : KeyForm(Range);
