using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Weather;

/// <summary>A reading that came and was not taken.</summary>
/// <param name="Reading">The reading.</param>
/// <param name="At">When it came, UTC.</param>
/// <param name="Verdict">Why it was not taken.</param>
public readonly record struct RefusedReading(Reading Reading, DateTimeOffset At, QualityVerdict Verdict)
{
    /// <summary>Why, as the second half of a sentence that begins with the value.</summary>
    /// <param name="units">The grower's units.</param>
    public Sentence Why(UnitSystem units) => QualityControl.Why(Reading.Quantity, Reading.Value, Verdict, units);
}
