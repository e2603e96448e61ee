namespace BackyardSentinel.Alerting;

/// <summary>Little room is left on the disk.</summary>
/// <param name="At">When it came about, UTC.</param>
/// <param name="FreeMb">Room left, MB, 0 or more.</param>
public sealed record DiskLow(DateTimeOffset At, long FreeMb) : SystemOccasion(null, At)
{
    /// <inheritdoc/>
    public override string Kind => "disk-low";

    /// <summary>One a day: a service that is started again finds the disk as full as before.</summary>
    public override string Episode => $"garden/disk/{Stamp(new DateTimeOffset(At.UtcDateTime.Date, TimeSpan.Zero))}";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts) => facts.Whole("free_mb", FreeMb);
}
