using BackyardSentinel.Contract;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web.SetUp;

/// <summary>What a look at the garden file and the installation found.</summary>
/// <param name="At">When it was looked at, UTC.</param>
/// <param name="File">The garden file's path.</param>
/// <param name="Faults">Why the file, as it lies there now, could not be used at the next start; empty: it could.</param>
/// <param name="Notes">What <c>check</c> notes about it.</param>
/// <param name="Things">What <c>examine</c> found.</param>
public sealed record SetUpLook(
    DateTimeOffset At, string File, IReadOnlyList<Sentence> Faults, IReadOnlyList<Sentence> Notes, IReadOnlyList<FoundThing> Things);

/// <summary>What a check of the installation found.</summary>
/// <param name="Check">What was looked at.</param>
/// <param name="Result">How it is.</param>
/// <param name="Says">What was seen, a sentence.</param>
/// <param name="Remedy">What to do, a sentence; <c>null</c>: nothing.</param>
public sealed record FoundThing(Sentence Check, Finding Result, Sentence Says, Sentence? Remedy);
