namespace BackyardSentinel.Spraying;

/// <summary>Rain that fell in the garden.</summary>
/// <param name="At">Start of the interval in which it fell, UTC.</param>
/// <param name="Mm">Amount, mm, from 0.</param>
public readonly record struct RainAmount(DateTimeOffset At, double Mm);
