using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>The danger is over for the year.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="WarmDays">Closed by a run of warm days; otherwise the tissue has hardened.</param>
public sealed record SeasonClosed(string Site, string Planting, DateTimeOffset At, bool WarmDays) : PlantingOccasion(Site, Planting, At)
{
    /// <summary>Curl of earlier windows may still show.</summary>
    public bool CurlMayShow { get; init; }

    /// <summary>Its rain shelter is on, and may come off.</summary>
    public bool Sheltered { get; init; }

    /// <inheritdoc/>
    public override string Kind => "season-closed";

    /// <inheritdoc/>
    public override string Story => $"season/{At.UtcDateTime.Year:0000}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(14);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Low;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Flag("warm_days", WarmDays);
        facts.Flag("curl_may_show", CurlMayShow);
        facts.Flag("sheltered", Sheltered);
        facts.Temperature("warm_above", SusceptibleSeason.WarmAboveC);
    }
}
