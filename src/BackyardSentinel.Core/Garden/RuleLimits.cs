namespace BackyardSentinel.Garden;

/// <summary>A rule's limits: the published ones unless told. A set of them is checked when it is built and does not change.</summary>
/// <param name="Rule">The rule.</param>
public abstract record RuleLimits(RuleName Rule)
{
    /// <summary>Between which temperatures the rule sees infection, °C; <c>null</c>: it asks for no limit on that side.</summary>
    public abstract (double? LowC, double? HighC) TemperaturesC { get; }
}
