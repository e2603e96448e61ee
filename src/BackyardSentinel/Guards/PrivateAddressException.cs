namespace BackyardSentinel.Guards;

/// <summary>
/// A connection was not made because the name leads to an address of the own network. The message is one sentence for the user.
/// </summary>
public sealed class PrivateAddressException(string message) : IOException(message)
{
    /// <summary>It is what made a request fail.</summary>
    /// <param name="failure">The failure, which may have causes.</param>
    public static bool IsIn(Exception? failure) =>
        failure is not null && (failure is PrivateAddressException || IsIn(failure.InnerException));
}
