namespace BackyardSentinel.Configuration;

/// <summary>
/// A spray product with the figures of its label. A figure that is <c>null</c> was not given; with a
/// <see cref="Template"/> the template's holds then, and without one the label is taken to say nothing.
/// </summary>
public sealed record GardenProduct
{
    /// <summary>Short id used in the journal.</summary>
    public required string Id { get; init; }

    /// <summary>The grower's name for it.</summary>
    public string? Name { get; init; }

    /// <summary>Generic figures to start from: fixed-copper, copper-soap, bordeaux, lime-sulfur or dormant-oil.</summary>
    public string? Template { get; init; }

    /// <summary>The active substance in the words of the garden file; given wherever there is no template.</summary>
    public string? Active { get; init; }

    /// <summary>Content of the active compound, percent by weight, above 0 to 100.</summary>
    public double? ContentPct { get; init; }

    /// <summary>Content of metallic copper, percent by weight, above 0 to 100.</summary>
    public double? CopperPct { get; init; }

    /// <summary>Density, kg/L, 0.1 to 3.</summary>
    public double? DensityKgPerL { get; init; }

    /// <summary>Amount for a litre of spray.</summary>
    public ProductDose? Dose { get; init; }

    /// <summary>Most applications in a season, 1 to 50.</summary>
    public int? MaxApplications { get; init; }

    /// <summary>Most metallic copper in a season, kg/ha, above 0 to 100.</summary>
    public double? MaxCopperKgPerHa { get; init; }

    /// <summary>Fewest days between two applications, 0 to 365.</summary>
    public int? DaysBetween { get; init; }

    /// <summary>First BBCH stage at which it may be used.</summary>
    public int? FirstStage { get; init; }

    /// <summary>Last BBCH stage at which it may be used.</summary>
    public int? LastStage { get; init; }

    /// <summary>Lowest air temperature while spraying, °C.</summary>
    public double? MinTemperatureC { get; init; }

    /// <summary>Highest air temperature while spraying, °C.</summary>
    public double? MaxTemperatureC { get; init; }

    /// <summary>Time without rain before spraying.</summary>
    public TimeSpan? DryBefore { get; init; }

    /// <summary>Time without rain after spraying.</summary>
    public TimeSpan? DryAfter { get; init; }

    /// <summary>Time without frost before spraying.</summary>
    public TimeSpan? FrostFreeBefore { get; init; }

    /// <summary>Time without frost after spraying.</summary>
    public TimeSpan? FrostFree { get; init; }

    /// <summary>Least wind while spraying, m/s.</summary>
    public double? WindMinMs { get; init; }

    /// <summary>Most wind while spraying, m/s.</summary>
    public double? WindMaxMs { get; init; }

    /// <summary>Kinds of tree it must not be used on.</summary>
    public IReadOnlyList<string> NotOn { get; init; } = [];

    /// <summary>How long people and pets stay away after spraying.</summary>
    public TimeSpan? Reentry { get; init; }

    /// <summary>Days between the last application and harvest, 0 to 365.</summary>
    public int? DaysBeforeHarvest { get; init; }

    /// <summary>Days between a sulfur product and an oil, either way round, 0 to 365.</summary>
    public int? DaysFromOil { get; init; }

    /// <summary>Rain from which the cover should be looked at, mm, 1 to 500.</summary>
    public double RecheckRainMm { get; init; } = 25;

    /// <summary>Rain from which the cover counts as gone, mm, 1 to 500, not below <see cref="RecheckRainMm"/>.</summary>
    public double SpentRainMm { get; init; } = 50;
}
