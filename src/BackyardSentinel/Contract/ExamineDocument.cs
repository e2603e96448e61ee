namespace BackyardSentinel.Contract;

/// <summary>examine --json: how the installation is.</summary>
/// <param name="At">When it was looked at, UTC.</param>
/// <param name="Result">The worst of all checks; unknown does not count.</param>
/// <param name="Checks">One for each check, in the order in which things build on each other.</param>
[SchemaFile("examine")]
public sealed record ExamineDocument(DateTimeOffset At, Finding Result, [Bounds(1)] IReadOnlyList<ExaminedThing> Checks);

/// <summary>What one check found.</summary>
/// <param name="Check">What was looked at.</param>
/// <param name="Result">How it is.</param>
/// <param name="Says">What was seen.</param>
/// <param name="Remedy">What to do; null: nothing.</param>
public sealed record ExaminedThing(string Check, Finding Result, string Says, string? Remedy);

/// <summary>How a thing is, from good to bad.</summary>
public enum Finding
{
    /// <summary>As it should be.</summary>
    Fine,

    /// <summary>It cannot be known from here; what to look at is said.</summary>
    Unknown,

    /// <summary>It works, but something is worth a look.</summary>
    Look,

    /// <summary>Something does not work.</summary>
    Wrong,
}
