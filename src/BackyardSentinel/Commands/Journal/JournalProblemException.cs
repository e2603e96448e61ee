namespace BackyardSentinel.Commands.Journal;

/// <summary>A journal entry cannot be taken; the message says why and what to do.</summary>
public sealed class JournalProblemException(string message) : Exception(message);
