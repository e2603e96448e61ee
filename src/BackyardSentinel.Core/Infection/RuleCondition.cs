namespace BackyardSentinel.Infection;

/// <summary>One condition of a rule, with the figure that stands against it.</summary>
/// <param name="What">What is measured, in words.</param>
/// <param name="Value">The figure; <c>null</c> when it is not known.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Asked">What the rule asks for.</param>
/// <param name="IsMet">The condition holds.</param>
public readonly record struct RuleCondition(string What, double? Value, string Unit, string Asked, bool IsMet);
