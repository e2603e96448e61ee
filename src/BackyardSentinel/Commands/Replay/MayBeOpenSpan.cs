namespace BackyardSentinel.Commands.Replay;

/// <summary>A span in which a planting's leaf buds may have been open, and were judged as open.</summary>
/// <param name="Planting">The planting's id.</param>
/// <param name="From">First local day.</param>
/// <param name="To">Local day from which they were known to be open or shut, or the season was over; <c>null</c>: the log ended
/// first.</param>
public sealed record MayBeOpenSpan(string Planting, DateOnly From, DateOnly? To);
