namespace BackyardSentinel.Storage;

/// <summary>The store cannot be used; the message says why and what to do.</summary>
/// <param name="message">A sentence for the grower.</param>
/// <param name="inner">What lies behind it.</param>
/// <param name="isLasting">See <see cref="IsLasting"/>.</param>
public sealed class StoreException(string message, Exception? inner = null, bool isLasting = false) : Exception(message, inner)
{
    /// <summary>The file itself is the trouble, so starting again mends nothing: it is damaged, foreign or of another version.</summary>
    public bool IsLasting { get; } = isLasting;

    /// <summary>It is a store of ours that is damaged: what can be read of it may be saved.</summary>
    public bool IsDamage { get; init; }
}
