namespace BackyardSentinel.Alerting;

/// <summary>Curled leaves should be picked before they turn white.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="CurlSeenOn">The local day on which curl was seen.</param>
public sealed record PickingDue(string Site, string Planting, DateTimeOffset At, DateOnly CurlSeenOn) : PlantingOccasion(Site, Planting, At)
{
    /// <inheritdoc/>
    public override string Kind => "picking-due";

    /// <inheritdoc/>
    public override string Story => $"picking/{Stamp(CurlSeenOn)}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(14);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts) => facts.Day("curl_seen_on", CurlSeenOn);
}
