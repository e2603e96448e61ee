namespace BackyardSentinel.Commands;

/// <summary>What was asked for cannot be done; the message says why and what to do.</summary>
public sealed class CommandProblemException(string message) : Exception(message);
