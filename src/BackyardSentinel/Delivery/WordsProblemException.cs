namespace BackyardSentinel.Delivery;

/// <summary>A file of words cannot be used; the message says where, why and what to do.</summary>
public sealed class WordsProblemException(string message) : Exception(message);
