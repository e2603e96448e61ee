namespace BackyardSentinel.Infection;

/// <summary>One condition of a rule, with the figure that stands against it.</summary>
/// <param name="What">What is measured, in words.</param>
/// <param name="Value">The figure; <c>null</c> when it is not known.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Asked">What the rule asks for.</param>
/// <param name="IsMet">The condition holds.</param>
public readonly record struct RuleCondition(string What, double? Value, string Unit, string Asked, bool IsMet)
{
    /// <summary>How much more is asked for, in the unit; <c>null</c> where it is met, or where more is not what is asked.</summary>
    public double? Lack { get; init; }

    /// <summary>The condition, with what is short of a least figure.</summary>
    internal RuleCondition From(double least) => IsMet || Value is not { } value ? this : this with { Lack = Math.Max(0, least - value) };
}
