using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web.SetUp;

/// <summary>What a look at the garden file and the installation found.</summary>
/// <param name="At">When it was looked at, UTC.</param>
/// <param name="File">The garden file's path.</param>
/// <param name="Usable">What it says, as it lies there now; <c>null</c>: it could not be used.</param>
/// <param name="Faults">Why it could not be used; empty: it could.</param>
/// <param name="Notes">What <c>check</c> notes about it.</param>
/// <param name="WordsToAdd">What the garden's file of words lacks, as it can be pasted there; <c>null</c>: nothing.</param>
/// <param name="Things">What <c>examine</c> found.</param>
public sealed record SetUpLook(
    DateTimeOffset At,
    string File,
    GardenFile? Usable,
    IReadOnlyList<Sentence> Faults,
    IReadOnlyList<Sentence> Notes,
    LinesToAdd? WordsToAdd,
    IReadOnlyList<FoundThing> Things)
{
    /// <summary>The file has been changed since the service read it.</summary>
    public bool HasChanged { get; init; }
}

/// <summary>Lines that can be pasted at the end of a file.</summary>
/// <param name="File">The file's path.</param>
/// <param name="Lines">The lines.</param>
public sealed record LinesToAdd(string File, string Lines);

/// <summary>What a check of the installation found.</summary>
/// <param name="Check">What was looked at.</param>
/// <param name="Result">How it is.</param>
/// <param name="Says">What was seen, a sentence.</param>
/// <param name="Remedy">What to do, a sentence; <c>null</c>: nothing.</param>
public sealed record FoundThing(Sentence Check, Finding Result, Sentence Says, Sentence? Remedy);
