namespace BackyardSentinel.Alerting;

/// <summary>Nobody knows whether the buds are still shut: a look tells, and settles how all else is judged.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Code">The stage that may have come, BBCH: 01 or 09.</param>
/// <param name="Expected">The expected tree has come to it; otherwise only the earliest one has.</param>
/// <param name="On">The local day.</param>
/// <param name="ATableWouldHelp">Much of the winter was not measured, and no table of monthly temperatures stands in for it.</param>
public sealed record LookAtBuds(string Site, string Planting, DateTimeOffset At, int Code, bool Expected, DateOnly On, bool ATableWouldHelp)
    : PlantingOccasion(Site, Planting, At)
{
    /// <summary>They were seen to swell before.</summary>
    public bool SeenSwelling { get; init; }

    /// <inheritdoc/>
    public override string Kind => "look-at-buds";

    /// <inheritdoc/>
    public override string Story => $"buds/{Stamp(On)}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(7);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Stage("code", Code);
        facts.Flag("expected", Expected);
        facts.Day("on", On);
        facts.Flag("table_would_help", ATableWouldHelp);
        facts.Flag("seen_swelling", SeenSwelling);
    }
}
