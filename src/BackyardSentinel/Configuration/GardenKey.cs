namespace BackyardSentinel.Configuration;

/// <summary>One key of the garden file: the single place where its default and range are written down.</summary>
/// <param name="Name">The key as it stands in the file.</param>
/// <param name="Meaning">What it sets, in a sentence.</param>
/// <param name="Default">The value that holds when the key is left out; empty where there is none.</param>
/// <param name="Range">What may stand here, as it follows the word "expected".</param>
public sealed record GardenKey(string Name, string Meaning, string Default, string Range)
{
    /// <summary>The key may not be left out.</summary>
    public bool Required { get; init; }

    /// <summary>The words that may stand here; empty where it is no choice of words.</summary>
    public IReadOnlyList<string> Words { get; init; } = [];

    /// <summary>Smallest number or duration in seconds; <c>null</c> without limit.</summary>
    public double? Least { get; init; }

    /// <summary>Largest number or duration in seconds; <c>null</c> without limit.</summary>
    public double? Most { get; init; }
}
