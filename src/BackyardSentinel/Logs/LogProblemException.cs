namespace BackyardSentinel.Logs;

/// <summary>A log that cannot be read at all. The message is one sentence for the user.</summary>
public sealed class LogProblemException(string message) : Exception(message);
