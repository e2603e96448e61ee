namespace BackyardSentinel.Commands.Alerts;

/// <summary>What was asked about alerts cannot be done; the message says why and what to do.</summary>
public sealed class AlertProblemException(string message) : Exception(message);
