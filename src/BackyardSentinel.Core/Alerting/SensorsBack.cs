namespace BackyardSentinel.Alerting;

/// <summary>The sensors behind a silent hub speak again.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="SilentSince">The <see cref="SensorsSilent.Since"/> of the silence, UTC.</param>
/// <param name="Back">Sensors heard again, 0 or more.</param>
/// <param name="StillSilent">Sensors not heard yet, 0 or more.</param>
public sealed record SensorsBack(string Site, DateTimeOffset At, DateTimeOffset SilentSince, int Back, int StillSilent)
    : SystemOccasion(Site, At)
{
    /// <summary>They were not silent: what they sent was a day old and more by its own time.</summary>
    public bool WereLate { get; init; }

    /// <inheritdoc/>
    public override string Kind => "sensors-back";

    /// <inheritdoc/>
    public override string Episode => $"{Subject}/{Stamp(SilentSince)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/hub";

    /// <inheritdoc/>
    public override int Rung => 1;

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(1);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Low;

    /// <inheritdoc/>
    public override Wait Wait => Wait.OtherSensors;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Moment("silent_since", SilentSince);
        facts.Whole("back", Back);
        facts.Whole("still_silent", StillSilent);
        facts.Flag("late", WereLate);
    }
}
