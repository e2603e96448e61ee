namespace BackyardSentinel.Contract;

/// <summary>When leaf buds will swell.</summary>
/// <param name="Expected">Local day expected; null: none can be told.</param>
/// <param name="Early">Local day for an early tree; null likewise.</param>
/// <param name="Late">Local day for a late tree; null likewise.</param>
/// <param name="Basis">What the days rest on, or why there are none.</param>
public sealed record BudSwellDays(DateOnly? Expected, DateOnly? Early, DateOnly? Late, string Basis);
