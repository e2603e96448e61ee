namespace BackyardSentinel.Guards;

/// <summary>
/// A connection was not made because the name leads to an address of the own network. The message is one sentence for the user.
/// </summary>
public sealed class PrivateAddressException(string message) : IOException(message);
