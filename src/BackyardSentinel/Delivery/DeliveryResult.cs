namespace BackyardSentinel.Delivery;

/// <summary>What came of one attempt. The words are fit for a log: no secrets, no control characters.</summary>
public abstract record DeliveryResult
{
    private DeliveryResult()
    {
    }

    /// <summary>The receiver took it.</summary>
    /// <param name="Answer">What it said.</param>
    public sealed record Delivered(string Answer) : DeliveryResult;

    /// <summary>It did not get through, but may later.</summary>
    /// <param name="Reason">Why, as a sentence.</param>
    /// <param name="After">The receiver asks to be left alone for so long; nothing else is sent to it until then.</param>
    public sealed record RetryLater(string Reason, TimeSpan? After = null) : DeliveryResult
    {
        /// <summary>
        /// Nothing came back: the line may be at fault, and trying again troubles nobody who has said that he is busy.
        /// </summary>
        public bool Unanswered { get; init; }

        /// <summary>Something was sent. <c>false</c>: it was held back and does not count as an attempt.</summary>
        public bool Attempted { get; init; } = true;
    }

    /// <summary>It will never be taken like this.</summary>
    /// <param name="Reason">Why and what to do, as a sentence.</param>
    /// <param name="SwitchOff">The receiver wants nothing more at all.</param>
    public sealed record Rejected(string Reason, bool SwitchOff = false) : DeliveryResult;
}
