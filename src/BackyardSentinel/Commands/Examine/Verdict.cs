using BackyardSentinel.Contract;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Commands.Examine;

/// <summary>What a check found.</summary>
/// <param name="Result">How it is.</param>
/// <param name="Says">What was seen, a sentence.</param>
/// <param name="Remedy">What to do, a sentence; <c>null</c>: nothing.</param>
internal sealed record Verdict(Finding Result, Sentence Says, Sentence? Remedy = null)
{
    public static Verdict Fine(Sentence says) => new(Finding.Fine, says);

    public static Verdict Unknown(Sentence says, Sentence? remedy = null) => new(Finding.Unknown, says, remedy);

    public static Verdict Look(Sentence says, Sentence remedy) => new(Finding.Look, says, remedy);

    public static Verdict Wrong(Sentence says, Sentence remedy) => new(Finding.Wrong, says, remedy);
}
