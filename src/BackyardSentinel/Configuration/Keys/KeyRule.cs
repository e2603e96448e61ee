namespace BackyardSentinel.Configuration.Keys;

/// <summary>What some keys of a part ask of others.</summary>
public abstract record KeyRule;

/// <summary>The keys stand there together or not at all.</summary>
/// <param name="Keys">The keys.</param>
public sealed record Together(params IReadOnlyList<string> Keys) : KeyRule;

/// <summary>A key has no meaning without another.</summary>
/// <param name="Key">The key.</param>
/// <param name="Other">What it needs.</param>
public sealed record Needs(string Key, string Other) : KeyRule;

/// <summary>One of the keys stands there.</summary>
/// <param name="Keys">The keys.</param>
public sealed record AnyOf(params IReadOnlyList<string> Keys) : KeyRule;

/// <summary>At most one of the keys stands there.</summary>
/// <param name="Keys">The keys.</param>
public sealed record NotBoth(params IReadOnlyList<string> Keys) : KeyRule;

/// <summary>Keys have a meaning only where another has one of these words.</summary>
/// <param name="Other">The other key.</param>
/// <param name="Words">The words.</param>
/// <param name="Keys">The keys.</param>
public sealed record OnlyWith(string Other, IReadOnlyList<string> Words, params IReadOnlyList<string> Keys) : KeyRule;

/// <summary>Where another key has one of these words, one of the keys is needed.</summary>
/// <param name="Other">The other key.</param>
/// <param name="Words">The words.</param>
/// <param name="Keys">The keys.</param>
public sealed record NeededWith(string Other, IReadOnlyList<string> Words, params IReadOnlyList<string> Keys) : KeyRule;

/// <summary>Where another key has one of these words, a key has fewer words than else.</summary>
/// <param name="Other">The other key.</param>
/// <param name="Words">The other key's words.</param>
/// <param name="Key">The key.</param>
/// <param name="Left">Those of the key's words that are left.</param>
public sealed record WordsWith(string Other, IReadOnlyList<string> Words, string Key, IReadOnlyList<string> Left) : KeyRule;
