namespace BackyardSentinel.Alerting;

/// <summary>The store was damaged, and a new one was made of what could be read.</summary>
/// <param name="At">When it was found, UTC.</param>
/// <param name="Saved">Readings saved, 0 or more.</param>
/// <param name="Lost">Readings known to be lost, 0 or more; with 0 it may be that how many is not known.</param>
public sealed record StoreDamaged(DateTimeOffset At, long Saved, long Lost) : SystemOccasion(null, At)
{
    /// <inheritdoc/>
    public override string Kind => "store-damaged";

    /// <inheritdoc/>
    public override string Episode => $"garden/store/{Stamp(At)}";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Whole("saved", Saved);
        facts.Whole("lost", Lost);
    }
}
