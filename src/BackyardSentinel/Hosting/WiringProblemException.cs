namespace BackyardSentinel.Hosting;

/// <summary>
/// The garden file reads well, but something it points to is missing or wrong: a secret, a template, a file of words. The
/// message is one sentence with what to do, and never holds a secret. Commands end with the exit code of a bad garden file.
/// </summary>
public sealed class WiringProblemException(string message) : Exception(message);
