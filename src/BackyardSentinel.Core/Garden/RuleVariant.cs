namespace BackyardSentinel.Garden;

/// <summary>
/// One of the rules under a name of its own and with other limits, which hold from local midnight of their days on. Before the
/// first of those days it judges as the rule that it is a variant of: so what was judged until then stands.
/// </summary>
/// <param name="Name">Its name, a short id that none of the rules has.</param>
/// <param name="Of">The rule that it is a variant of.</param>
/// <param name="Changes">Its limits by the days from which they hold, in their order; at least one.</param>
public sealed record RuleVariant(string Name, RuleName Of, IReadOnlyList<LimitChange> Changes);

/// <summary>Limits that hold from a day on.</summary>
/// <param name="From">The local day; <see cref="DateOnly.MinValue"/>: always.</param>
/// <param name="Limits">The limits.</param>
public readonly record struct LimitChange(DateOnly From, RuleLimits Limits);
