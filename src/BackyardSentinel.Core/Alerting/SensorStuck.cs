using BackyardSentinel.Garden;

namespace BackyardSentinel.Alerting;

/// <summary>A sensor repeats one value although the weather cannot stand still so long.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Series">The series' id, unique at its site.</param>
/// <param name="Quantity">What it measures.</param>
/// <param name="Value">The value, in the quantity's unit.</param>
/// <param name="Since">When it first said so, UTC.</param>
public sealed record SensorStuck(string Site, DateTimeOffset At, string Series, Quantity Quantity, double Value, DateTimeOffset Since)
    : SystemOccasion(Site, At)
{
    /// <inheritdoc/>
    public override string Kind => "sensor-stuck";

    /// <inheritdoc/>
    public override string Episode => $"{Subject}/{Stamp(Since)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/stuck/{Series}";

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Series("series", Series);
        facts.Quantity("quantity", Quantity);
        facts.Value("value", Quantity, Value);
        facts.Moment("since", Since);
    }
}
