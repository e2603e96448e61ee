namespace BackyardSentinel.Storage;

/// <summary>The store cannot be used; the message says why and what to do.</summary>
public sealed class StoreException : Exception
{
    /// <summary>Makes the exception.</summary>
    /// <param name="message">A sentence for the grower.</param>
    /// <param name="inner">What lies behind it.</param>
    public StoreException(string message, Exception? inner = null)
        : base(message, inner)
    {
    }
}
