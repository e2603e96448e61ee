namespace BackyardSentinel.Contract;

/// <summary>A document of its own, described by <c>docs/schemas/NAME.schema.json</c>; its title is the record's summary.</summary>
/// <param name="name">NAME, lower case with hyphens.</param>
[AttributeUsage(AttributeTargets.Class)]
public sealed class SchemaFileAttribute(string name) : Attribute
{
    /// <summary>The file's name without its ending.</summary>
    public string Name { get; } = name;
}

/// <summary>
/// Least and most of a number, of a list's items, or of a text's letters: a text has one at least where nothing else is said.
/// </summary>
/// <param name="least">The least, itself allowed.</param>
/// <param name="most">The most, itself allowed; left out: none.</param>
[AttributeUsage(AttributeTargets.Parameter)]
public sealed class BoundsAttribute(double least, double most = double.PositiveInfinity) : Attribute
{
    /// <summary>The least, itself allowed.</summary>
    public double Least { get; } = least;

    /// <summary>The most, itself allowed.</summary>
    public double Most { get; } = most;
}

/// <summary>The form of a text, or of each name in a map of texts, whose values may then be empty.</summary>
/// <param name="pattern">A regular expression that any dialect reads alike.</param>
[AttributeUsage(AttributeTargets.Parameter)]
public sealed class PatternAttribute(string pattern) : Attribute
{
    /// <summary>The regular expression.</summary>
    public string Pattern { get; } = pattern;
}

/// <summary>No item of the list comes twice.</summary>
[AttributeUsage(AttributeTargets.Parameter)]
public sealed class DistinctAttribute : Attribute;

/// <summary>
/// A text, each text of a list, or each key of a map is one of a set that is known elsewhere.
/// </summary>
/// <param name="type">Where the set is.</param>
/// <param name="member">Its static property, a list of words.</param>
[AttributeUsage(AttributeTargets.Parameter)]
public sealed class OneOfAttribute(Type type, string member) : Attribute
{
    /// <summary>Where the set is.</summary>
    public Type Type { get; } = type;

    /// <summary>Its static property.</summary>
    public string Member { get; } = member;
}

/// <summary>A text is what one of a family of types says in one of its properties.</summary>
/// <param name="family">What the types are derived from.</param>
/// <param name="property">The property, which says the same for each of a type.</param>
/// <param name="also">What else it may be.</param>
[AttributeUsage(AttributeTargets.Parameter)]
public sealed class SaidByAttribute(Type family, string property, params string[] also) : Attribute
{
    /// <summary>What the types are derived from.</summary>
    public Type Family { get; } = family;

    /// <summary>The property.</summary>
    public string Property { get; } = property;

    /// <summary>What else it may be.</summary>
    public IReadOnlyList<string> Also { get; } = also;

    /// <summary>What stands before each.</summary>
    public string Prefix { get; set; } = "";
}

/// <summary>The number of the word that stands in another property: both tell the same.</summary>
/// <param name="property">The other property, as C# names it.</param>
[AttributeUsage(AttributeTargets.Parameter)]
public sealed class NumberOfAttribute(string property) : Attribute
{
    /// <summary>The other property.</summary>
    public string Property { get; } = property;
}

/// <summary>There only where another property has this word.</summary>
/// <param name="property">The other property, as C# names it.</param>
/// <param name="word">The word.</param>
[AttributeUsage(AttributeTargets.Parameter)]
public sealed class OnlyAttribute(string property, string word) : Attribute
{
    /// <summary>The other property.</summary>
    public string Property { get; } = property;

    /// <summary>Its word.</summary>
    public string Word { get; } = word;

    /// <summary>It may be missing there, too.</summary>
    public bool MayLack { get; set; }
}

/// <summary>Left out where another property has this word, and there otherwise.</summary>
/// <param name="property">The other property, as C# names it.</param>
/// <param name="word">The word.</param>
[AttributeUsage(AttributeTargets.Parameter)]
public sealed class UnlessAttribute(string property, string word) : Attribute
{
    /// <summary>The other property.</summary>
    public string Property { get; } = property;

    /// <summary>Its word.</summary>
    public string Word { get; } = word;
}

/// <summary>Just one of the two properties is there.</summary>
/// <param name="property">The other property, as C# names it.</param>
[AttributeUsage(AttributeTargets.Parameter)]
public sealed class InsteadOfAttribute(string property) : Attribute
{
    /// <summary>The other property.</summary>
    public string Property { get; } = property;
}
