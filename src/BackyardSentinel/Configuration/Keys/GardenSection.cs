using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>A part of the garden file and its keys.</summary>
/// <param name="Name">The part's name in the schema.</param>
/// <param name="Place">Where its keys stand, as it follows "is not a key of".</param>
/// <param name="Keys">The keys, in the order of the documentation.</param>
public sealed record GardenSection(string Name, Sentence Place, IReadOnlyList<GardenKey> Keys)
{
    /// <summary>What some of the keys ask of others.</summary>
    public IReadOnlyList<KeyRule> Rules { get; init; } = [];

    /// <summary>The key of this name.</summary>
    public GardenKey this[string name] => Keys.First(k => k.Name == name);
}
