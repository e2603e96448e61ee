namespace BackyardSentinel.Weather;

/// <summary>What can be seen of a number that a sensor sends, before it is known what it measures.</summary>
/// <param name="Names">
/// What it is called, the nearest first: the last step of its path, the steps before, the levels of its topic from the last on.
/// </param>
public sealed record SensorTraits(IReadOnlyList<string> Names)
{
    /// <summary>How many of the names are the message's own; the rest are the topic's.</summary>
    public int OwnNames { get; init; }

    /// <summary>It has a place among other numbers of its message and no name.</summary>
    public bool IsUnnamed { get; init; }

    /// <summary>The unit that the message tells; <c>null</c>: none.</summary>
    public string? UnitText { get; init; }

    /// <summary>That unit stands behind the number itself, so that the number cannot be read without knowing it.</summary>
    public bool UnitIsBehind { get; init; }

    /// <summary>It came as a word or switch for wet and dry.</summary>
    public bool IsWord { get; init; }

    /// <summary>The lowest that came, as sent.</summary>
    public double Lowest { get; init; }

    /// <summary>The highest that came, as sent.</summary>
    public double Highest { get; init; }

    /// <summary>How many came.</summary>
    public int Count { get; init; } = 1;

    /// <summary>All that came were whole numbers.</summary>
    public bool AreWhole { get; init; }

    /// <summary>Each was as high as the one before or higher, and none was 0 after one that was not.</summary>
    public bool NeverFell { get; init; } = true;

    /// <summary>How many came unchanged, and were not 0.</summary>
    public int Repeats { get; init; }

    /// <summary>How long the time between two messages is; <c>null</c>: only one came.</summary>
    public TimeSpan? Every { get; init; }
}
