namespace BackyardSentinel.Commands.Explain;

/// <summary>Nothing can be explained; the message says why and what to do.</summary>
public sealed class ExplainProblemException(string message) : Exception(message);
