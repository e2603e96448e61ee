using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Weather;

/// <summary>How sure a guess is.</summary>
public enum Sureness
{
    /// <summary>It may be otherwise: look before you use it.</summary>
    Guess,

    /// <summary>One thing speaks for it and nothing against it.</summary>
    Likely,

    /// <summary>What it is and its unit are both told.</summary>
    Sure,
}

/// <summary>The words for <see cref="Sureness"/>.</summary>
public static class SurenessWords
{
    /// <summary>The word in what is proposed and in JSON.</summary>
    public static string Word(this Sureness sureness) => sureness switch
    {
        Sureness.Guess => "guess",
        Sureness.Likely => "likely",
        Sureness.Sure => "sure",
    };
}

/// <summary>What a gauge's number is.</summary>
public enum RainCount
{
    /// <summary>The rain since the last message.</summary>
    Each,

    /// <summary>A total that grows.</summary>
    Total,

    /// <summary>How much falls in an hour.</summary>
    Rate,
}

/// <summary>What a sensor's number probably is, and why.</summary>
/// <param name="Quantity">What it measures.</param>
/// <param name="Unit">The unit it is sent in.</param>
/// <param name="Sureness">How sure that is.</param>
/// <param name="Because">What speaks for it, sentence parts.</param>
/// <param name="Doubts">What to look at, whole sentences.</param>
public sealed record SensorGuess(
    Quantity Quantity, Unit Unit, Sureness Sureness, IReadOnlyList<string> Because, IReadOnlyList<Sentence> Doubts)
{
    /// <summary>Factor on the number as sent.</summary>
    public double Scale { get; init; } = 1;

    /// <summary>Rain only: what the number is.</summary>
    public RainCount Rain { get; init; }

    /// <summary>Leaf wetness only: the number from which on the leaf is wet; <c>null</c>: the usual limits or words.</summary>
    public double? WetOn { get; init; }

    /// <summary>Leaf wetness in minutes only: the time they are counted over.</summary>
    public TimeSpan? Every { get; init; }
}
