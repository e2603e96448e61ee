namespace BackyardSentinel.Delivery;

/// <summary>When a message that did not get through is tried again.</summary>
public static class RetrySchedule
{
    /// <summary>
    /// Denser at first than the example of the Standard Webhooks specification, and never slower than 30 min: an alert is of
    /// use for a day. Assumed.
    /// </summary>
    private static readonly TimeSpan[] Pauses =
        [TimeSpan.FromSeconds(5), TimeSpan.FromSeconds(30), TimeSpan.FromMinutes(2), TimeSpan.FromMinutes(10), TimeSpan.FromMinutes(30)];

    /// <summary>
    /// The longest where nothing came back: stretched, and with <see cref="WebhookReceiver.AttemptTimeout"/> before it, a line that is
    /// well again is found within two minutes.
    /// </summary>
    private static readonly TimeSpan LongestUnanswered = TimeSpan.FromSeconds(80);

    /// <summary>The pause before the next attempt.</summary>
    /// <param name="failures">Attempts that failed, 1 or more.</param>
    /// <param name="jitter">0 to 1, drawn anew each time: stretches a pause by up to a tenth, so that gardens do not knock in step.</param>
    /// <param name="unanswered">Nothing came back from the receiver.</param>
    public static TimeSpan Pause(int failures, double jitter, bool unanswered = false)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(failures, 1);
        var pause = Pauses[Math.Min(failures, Pauses.Length) - 1];
        if (unanswered && pause > LongestUnanswered)
            pause = LongestUnanswered;
        return pause * (1 + 0.1 * Math.Clamp(jitter, 0, 1));
    }
}
