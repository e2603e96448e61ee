using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>It is time to look at the leaves for curl from one infection window.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="WindowOpened">When the window opened, UTC.</param>
/// <param name="LikelyFrom">First local day on which curl is likely to show.</param>
/// <param name="LikelyTo">Last such day.</param>
public sealed record ScoutingDue(
    string Site,
    string Planting,
    DateTimeOffset At,
    DateTimeOffset WindowOpened,
    DateOnly LikelyFrom,
    DateOnly LikelyTo
) : PlantingOccasion(Site, Planting, At)
{
    /// <inheritdoc/>
    public override string Kind => "scouting-due";

    /// <inheritdoc/>
    public override string Story => $"scouting/{Stamp(WindowOpened)}";

    /// <summary>A warm day speaks against disease.</summary>
    public bool MayNotDevelop { get; init; }

    /// <summary>It is the second look, in the likely days.</summary>
    public bool Likely { get; init; }

    /// <summary>The second look is news after the first.</summary>
    public override int Rung => Likely ? 1 : 0;

    /// <summary>Curl is possible for about another six days after the likely ones.</summary>
    public override DateTimeOffset UsefulUntil => EndOf(LikelyTo.AddDays(6));

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Morning;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Moment("window_opened", WindowOpened);
        facts.Day("likely_from", LikelyFrom);
        facts.Day("likely_to", LikelyTo);
        facts.Flag("may_not_develop", MayNotDevelop);
        facts.Temperature("too_warm", Incubation.TooWarmC);
    }
}
