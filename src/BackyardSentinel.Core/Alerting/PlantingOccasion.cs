namespace BackyardSentinel.Alerting;

/// <summary>An occasion about one planting. The periods of use below are assumed, unless they follow from a date.</summary>
public abstract record PlantingOccasion : Occasion
{
    private protected PlantingOccasion(string site, string planting, DateTimeOffset at)
        : base(site, at) => PlantingId = planting;

    /// <summary>The planting's id.</summary>
    public string PlantingId { get; }

    /// <inheritdoc/>
    public override string? Planting => PlantingId;

    /// <summary>The episode without site and planting: what several plantings of a site may have in common.</summary>
    public abstract string Story { get; }

    /// <inheritdoc/>
    public sealed override string Episode => $"{Site}/{Planting}/{Story}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/{Planting}/{Kind}";
}
