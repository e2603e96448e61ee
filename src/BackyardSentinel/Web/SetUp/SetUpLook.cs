using BackyardSentinel.Contract;

namespace BackyardSentinel.Web.SetUp;

/// <summary>What a look at the garden file and the installation found.</summary>
/// <param name="At">When it was looked at, UTC.</param>
/// <param name="File">The garden file's path.</param>
/// <param name="Faults">Why the file, as it lies there now, could not be used at the next start; empty: it could.</param>
/// <param name="Notes">What <c>check</c> notes about it.</param>
/// <param name="Things">What <c>examine</c> found.</param>
public sealed record SetUpLook(
    DateTimeOffset At, string File, IReadOnlyList<string> Faults, IReadOnlyList<string> Notes, IReadOnlyList<ExaminedThing> Things);
