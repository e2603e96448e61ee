using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>What became of a text that should be a number.</summary>
public enum NumberOutcome
{
    /// <summary>A finite number.</summary>
    Number,

    /// <summary>The sensor says that it has nothing to say: empty, <c>nan</c>, <c>unavailable</c> and the like.</summary>
    NoReading,

    /// <summary>Not a number, or not one that can be taken without guessing.</summary>
    Refused,
}

/// <summary>A number, or why there is none.</summary>
/// <param name="Outcome">Which of the three it is.</param>
/// <param name="Value">The number; 0 unless <paramref name="Outcome"/> says it is one.</param>
/// <param name="Reason">Why there is none, as a sentence part; <c>null</c> for a number.</param>
public readonly record struct NumberResult(NumberOutcome Outcome, double Value, Sentence? Reason)
{
    internal static NumberResult Of(double value) => new(NumberOutcome.Number, value, null);

    internal static NumberResult None(Sentence reason) => new(NumberOutcome.NoReading, 0, reason);

    internal static NumberResult Refuse(Sentence reason) => new(NumberOutcome.Refused, 0, reason);
}
