namespace BackyardSentinel.Alerting;

/// <summary>The computer's clock disagrees with the sensors or the network.</summary>
/// <param name="At">When it came about, UTC.</param>
/// <param name="OffBy">How far it is ahead (positive) or behind (negative).</param>
public sealed record ClockWrong(DateTimeOffset At, TimeSpan OffBy) : SystemOccasion(null, At)
{
    /// <inheritdoc/>
    public override string Kind => "clock-wrong";

    /// <inheritdoc/>
    public override string Episode => $"garden/clock/{Stamp(At)}";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Offset("off_by_minutes", OffBy);
        facts.Flag("ahead", OffBy > TimeSpan.Zero);
    }
}
