using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>One key of the garden file: the single place where its default and range are written down.</summary>
/// <param name="Name">The key as it stands in the file.</param>
/// <param name="Form">What may stand there.</param>
/// <param name="Meaning">What it sets, in a sentence.</param>
/// <param name="Default">The value that holds when the key is left out; empty where there is none.</param>
public sealed record GardenKey(string Name, KeyForm Form, string Meaning, string Default = "")
{
    /// <summary>The key may not be left out.</summary>
    public bool Required { get; init; }

    /// <summary>What may stand here, as it follows the word "expected".</summary>
    public Sentence Range => Form.Range;

    /// <summary>The words that may stand here; empty where it is no choice of words.</summary>
    public IReadOnlyList<string> Words => Form.Words;

    /// <summary>Smallest number, amount as it is reckoned, or duration in seconds; <c>null</c> without limit.</summary>
    public double? Least => Form.Least;

    /// <summary>Largest number, amount as it is reckoned, or duration in seconds; <c>null</c> without limit.</summary>
    public double? Most => Form.Most;
}
