using System.Globalization;

namespace BackyardSentinel.Garden;

/// <summary>From where to where a limit of judgement may be set, both ends included.</summary>
/// <param name="Least">The least figure, in the limit's unit.</param>
/// <param name="Most">The greatest figure.</param>
public readonly record struct LimitRange(double Least, double Most)
{
    /// <summary>The limit may be set to that.</summary>
    public bool Contains(double value) => value >= Least && value <= Most;

    /// <summary>The value; throws <see cref="ArgumentOutOfRangeException"/> where the limit may not be set to it.</summary>
    internal double Checked(double value, string name) => Contains(value)
        ? value
        : throw new ArgumentOutOfRangeException(
            name, value, string.Create(CultureInfo.InvariantCulture, $"This limit lies from {Least} to {Most}."));
}
