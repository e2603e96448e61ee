using BackyardSentinel.Contract;

namespace BackyardSentinel.Commands.Examine;

/// <summary>What a check found.</summary>
/// <param name="Result">How it is.</param>
/// <param name="Says">What was seen, a sentence.</param>
/// <param name="Remedy">What to do, a sentence; <c>null</c>: nothing.</param>
internal sealed record Verdict(Finding Result, string Says, string? Remedy = null)
{
    public static Verdict Fine(string says) => new(Finding.Fine, says);

    public static Verdict Unknown(string says, string? remedy = null) => new(Finding.Unknown, says, remedy);

    public static Verdict Look(string says, string remedy) => new(Finding.Look, says, remedy);

    public static Verdict Wrong(string says, string remedy) => new(Finding.Wrong, says, remedy);
}
