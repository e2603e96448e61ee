namespace BackyardSentinel.Alerting;

/// <summary>An occasion about the installation itself. A trouble is useful to know for two days, a return for one (assumed).</summary>
public abstract record SystemOccasion : Occasion
{
    private protected SystemOccasion(string? site, DateTimeOffset at)
        : base(site, at)
    {
    }

    /// <inheritdoc/>
    public override string Subject => $"{Site}/{Kind}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(2);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;
}
