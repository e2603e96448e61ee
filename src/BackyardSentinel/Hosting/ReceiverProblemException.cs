namespace BackyardSentinel.Hosting;

/// <summary>A receiver cannot be used as the garden file has it; the message says why and shows no secret.</summary>
public sealed class ReceiverProblemException(string message) : Exception(message);
