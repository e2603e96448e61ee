namespace BackyardSentinel.Commands.Plan;

/// <summary>A plan cannot be made as it was asked for; the message says why and what to do.</summary>
public sealed class PlanProblemException(string message) : Exception(message);
