namespace BackyardSentinel.Alerting;

/// <summary>Several sensors of a site fell silent together: what they share has failed.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Count">Sensors that are silent, 1 or more.</param>
/// <param name="Since">The earliest last word among them, UTC.</param>
public sealed record SensorsSilent(string Site, DateTimeOffset At, int Count, DateTimeOffset Since) : SystemOccasion(Site, At)
{
    /// <inheritdoc cref="SensorSilent.Unheard"/>
    public bool Unheard { get; init; }

    /// <inheritdoc cref="SensorSilent.IsLate"/>
    public bool IsLate { get; init; }

    /// <inheritdoc/>
    public override string Kind => "sensors-silent";

    /// <inheritdoc/>
    public override string Episode => $"{Subject}/{Stamp(Since)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/hub";

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.High;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Whole("count", Count);
        facts.Moment("since", Since);
        facts.Flag("unheard", Unheard);
        facts.Flag("late", IsLate);
    }
}
