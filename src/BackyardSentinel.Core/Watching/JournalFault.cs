using BackyardSentinel.Wording;

namespace BackyardSentinel.Watching;

/// <summary>What speaks against a journal entry.</summary>
/// <param name="What">The fault, as a sentence.</param>
/// <param name="Remedy">What to do in a terminal, as a sentence; <c>null</c>: the fault says it itself.</param>
/// <param name="Other">The number of the entry that it contradicts; <c>null</c>: it is wrong by itself.</param>
/// <param name="IsOfDay">Its day is wrong.</param>
public sealed record JournalFault(Sentence What, Sentence? Remedy = null, long? Other = null, bool IsOfDay = false)
{
    /// <summary>The fault and what to do in a terminal.</summary>
    public Sentence Whole => Remedy is null ? What : $"{What} {Remedy}";

    /// <inheritdoc/>
    public override string ToString() => Whole.Text;
}
