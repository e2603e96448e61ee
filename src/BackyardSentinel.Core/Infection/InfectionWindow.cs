using BackyardSentinel.Garden;

namespace BackyardSentinel.Infection;

/// <summary>The time in which a rule's minimum for infection is met on susceptible tissue.</summary>
/// <param name="Planting">The planting's id.</param>
/// <param name="Rule">The name of the rule or variant.</param>
/// <param name="OpenedAt">End of the first interval at which all conditions held, UTC.</param>
/// <param name="ClosedAt">When it ended, UTC; <c>null</c> while it is open.</param>
/// <param name="Level">The highest level it reached.</param>
/// <param name="Dose">The highest assumed dose, 0–1; only the rule <c>wet-hours</c> has one.</param>
/// <param name="WetHours">Wet hours of the spell or of the rule's stretch, h; <c>null</c> where the rule counts none.</param>
/// <param name="RainMm">Rain, mm.</param>
/// <param name="MeanTempC">Mean temperature over wet time, °C.</param>
/// <param name="Uncertain">Too much of the weather behind it is unknown.</param>
/// <param name="NoRainGauge">Judged without a rain gauge.</param>
public readonly record struct InfectionWindow(
    string Planting,
    string Rule,
    DateTimeOffset OpenedAt,
    DateTimeOffset? ClosedAt,
    Level Level,
    double? Dose,
    double? WetHours,
    double? RainMm,
    double? MeanTempC,
    bool Uncertain,
    bool NoRainGauge)
{
    /// <summary>BBCH code of the planting when it opened; <c>null</c> where none is followed or known.</summary>
    public int? Stage { get; init; }

    /// <summary>A shelter kept it off: the open sky would have given it, and its level is of no use.</summary>
    public bool Sheltered { get; init; }

    /// <summary>What was left of a protectant when it opened; <c>null</c> without a journal.</summary>
    public Cover? Cover { get; init; }
}
