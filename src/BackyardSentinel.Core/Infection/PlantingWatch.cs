namespace BackyardSentinel.Infection;

/// <summary>One planting's rules side by side, and the level that the driving rule gives it.</summary>
internal sealed class PlantingWatch
{
    private readonly Site site;
    private readonly Planting planting;
    private readonly InfectionRule driving;
    private Level level;
    private DateTimeOffset? since;
    private bool uncertain, unknown;

    public PlantingWatch(Site site, Planting planting)
    {
        (this.site, this.planting) = (site, planting);
        Rules = [new WetHoursRule(planting.Id), new RainDayRule(planting.Id, site.Zone, site.HasRainGauge), new TwoDayRule(planting.Id)];
        driving = Rules.Single(rule => rule.Name == site.AlertRule);
    }

    public string Id => planting.Id;

    public InfectionRule[] Rules { get; }

    public double Factor => Susceptibility.At(planting.Stage);

    /// <summary>Takes the next interval; gives the change of level, if it changed.</summary>
    public (Level From, Level To, DateTimeOffset Since)? Observe(in RuleInput input, DateTimeOffset evidenceUntil)
    {
        foreach (var rule in Rules)
            rule.Observe(input);

        // Tissue that cannot be infected is clear whatever the sensors do.
        unknown = input.Susceptibility > 0 && input.Interval.End - evidenceUntil > site.UnknownAfter;
        uncertain = unknown || input.Spell is { Uncertain: true };
        return unknown ? MoveTo(Level.Unknown, evidenceUntil) : MoveTo(driving.Level, input.Interval.End);
    }

    public PlantingRisk Describe() => new(
        planting.Id,
        level,
        since,
        Rules.ToDictionary(rule => rule.Name, rule => unknown ? Level.Unknown : rule.Level),
        unknown ? null : driving.FractionReached,
        uncertain,
        [.. Rules.Where(rule => rule.OpenWindow is not null).Select(rule => rule.OpenWindow!.Value)]);

    private (Level, Level, DateTimeOffset)? MoveTo(Level next, DateTimeOffset at)
    {
        if (next == level && since is not null)
            return null;
        var change = (level, next, at);
        var first = since is null && next == level;
        (level, since) = (next, at);
        return first ? null : change;
    }
}
