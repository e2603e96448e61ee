namespace BackyardSentinel.Alerting;

/// <summary>The winter did not bring the chill that the planting is said to need; told once.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Chill">Chill of the winter, in the units of the need.</param>
/// <param name="Need">The chill needed.</param>
public sealed record NeedsNotMet(string Site, string Planting, DateTimeOffset At, double Chill, double Need)
    : PlantingOccasion(Site, Planting, At)
{
    /// <inheritdoc/>
    public override string Kind => "needs-not-met";

    /// <inheritdoc/>
    public override string Story => "needs";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(14);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Low;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Tenths("chill", Chill);
        facts.Tenths("need", Need);
    }
}
