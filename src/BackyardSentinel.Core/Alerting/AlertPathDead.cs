namespace BackyardSentinel.Alerting;

/// <summary>No way to the phone has worked for a day or more; told as soon as one works, and shown elsewhere until then.</summary>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Since">When a message last went through, UTC.</param>
public sealed record AlertPathDead(DateTimeOffset At, DateTimeOffset Since) : SystemOccasion(null, At)
{
    /// <inheritdoc/>
    public override string Kind => "alert-path-dead";

    /// <inheritdoc/>
    public override string Episode => $"garden/alert-path/{Stamp(Since)}";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts) => facts.Moment("since", Since);
}
