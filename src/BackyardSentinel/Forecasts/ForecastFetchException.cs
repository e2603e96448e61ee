namespace BackyardSentinel.Forecasts;

/// <summary>
/// A forecast could not be fetched. The message is a sentence part for the user and never holds the address, which may hold a key.
/// </summary>
internal sealed class ForecastFetchException(
    string message,
    bool isPassing,
    TimeSpan? notBefore = null,
    bool isUnanswered = false) : Exception(message)
{
    /// <summary>No answer came, or not to its end: the line may be at fault.</summary>
    public bool IsUnanswered { get; } = isUnanswered;

    /// <summary>It is worth trying again within the minute.</summary>
    public bool IsPassing { get; } = isPassing;

    /// <summary>How long the source asks to be left alone.</summary>
    public TimeSpan? NotBefore { get; } = notBefore;
}
