using BackyardSentinel.Garden;

namespace BackyardSentinel.Alerting;

/// <summary>A sensor has said nothing of its time for longer than its limit.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Series">The series' id, unique at its site.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="Since">Its last word, UTC.</param>
public sealed record SensorSilent(string Site, DateTimeOffset At, string Series, Quantity Quantity, DateTimeOffset Since)
    : SystemOccasion(Site, At)
{
    /// <summary>
    /// For some of that time nothing could be heard: the service was off or its broker out of reach, and the sensor may be well.
    /// </summary>
    public bool Unheard { get; init; }

    /// <summary>Something comes, but of another time: a day old and more by its own clock.</summary>
    public bool IsLate { get; init; }

    /// <inheritdoc/>
    public override string Kind => "sensor-silent";

    /// <inheritdoc/>
    public override string Episode => $"{Subject}/{Stamp(Since)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/silence/{Series}";

    /// <inheritdoc/>
    public override Wait Wait => Wait.OtherSensors;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Series("series", Series);
        facts.Quantity("quantity", Quantity);
        facts.Moment("since", Since);
        facts.Flag("unheard", Unheard);
        facts.Flag("late", IsLate);
    }
}
