using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>The forecast lets a wet spell grow into an infection window.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Expected">The level the forecast leads to.</param>
/// <param name="ExpectedAt">When it would be reached, UTC.</param>
/// <param name="WetHours">Wet hours up to then, h; <c>null</c> where the rule counts none.</param>
/// <param name="RainMm">Rain up to then, mm; <c>null</c> where the rule counts none.</param>
/// <param name="MeanTempC">Mean temperature of the wet time, or of what the rule looks at, °C; <c>null</c> where unknown.</param>
/// <param name="Issued">When the forecast was made, UTC.</param>
public sealed record WindowAhead(
    string Site,
    string Planting,
    DateTimeOffset At,
    Level Expected,
    DateTimeOffset ExpectedAt,
    double? WetHours,
    double? RainMm,
    double? MeanTempC,
    DateTimeOffset Issued
) : PlantingOccasion(Site, Planting, At)
{
    /// <summary>The rule that gives the level.</summary>
    public required string Rule { get; init; }

    /// <summary>The rule that it is a variant of; <c>null</c>: it is none.</summary>
    public RuleName? VariantOf { get; init; }

    /// <summary>What is left of a protectant; <c>null</c> where unknown.</summary>
    public Cover? Cover { get; init; }

    /// <inheritdoc/>
    public override string Kind => "window-ahead";

    /// <summary>Each new forecast moves the hour, so the day names the episode.</summary>
    public override string Story => $"ahead/{Stamp(DateOnly.FromDateTime(ExpectedAt.UtcDateTime))}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => ExpectedAt;

    /// <inheritdoc/>
    public override int Rung => (int)Expected;

    /// <inheritdoc/>
    public override Urgency Urgency => Cover == Garden.Cover.Fresh ? Urgency.Low : Urgency.Normal;

    /// <inheritdoc/>
    public override Level? Level => Expected;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Level("level", Expected);
        facts.Whole("level_number", (int)Expected);
        facts.Moment("expected_at", ExpectedAt);
        facts.Moment("issued", Issued);
        facts.Text("rule", Rule);
        facts.Text("variant_of", VariantOf?.Word());
        facts.Tenths("wet_hours", WetHours);
        facts.Rain("rain", RainMm);
        facts.Temperature("mean_temp", MeanTempC);
        facts.Text("cover", Cover?.Word());
    }
}
