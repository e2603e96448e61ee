using BackyardSentinel.Garden;

namespace BackyardSentinel.Alerting;

/// <summary>A sensor that was silent speaks again.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Series">The series' id, unique at its site.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="SilentSince">Its last word before the silence, UTC.</param>
public sealed record SensorBack(string Site, DateTimeOffset At, string Series, Quantity Quantity, DateTimeOffset SilentSince)
    : SystemOccasion(Site, At)
{
    /// <summary>It was not silent: what it sent was a day old and more by its own clock.</summary>
    public bool WasLate { get; init; }

    /// <inheritdoc/>
    public override string Kind => "sensor-back";

    /// <summary>The same story as <see cref="SensorSilent"/>, one rung up.</summary>
    public override string Episode => $"{Subject}/{Stamp(SilentSince)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/silence/{Series}";

    /// <inheritdoc/>
    public override int Rung => 1;

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(1);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Low;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Series("series", Series);
        facts.Quantity("quantity", Quantity);
        facts.Moment("silent_since", SilentSince);
        facts.Flag("late", WasLate);
    }
}
