namespace BackyardSentinel.Configuration;

/// <summary>One or more trees of one kind and variety.</summary>
/// <param name="Id">Short id used in topics.</param>
/// <param name="Kind">Peach, nectarine, almond or apricot.</param>
/// <param name="Variety">The variety's name, for the reader of messages.</param>
/// <param name="Stage">BBCH code that holds throughout; <c>null</c> unless <see cref="StageSource"/> is fixed.</param>
public sealed record GardenPlanting(string Id, string Kind, string? Variety = null, int? Stage = null)
{
    /// <summary>What the grower calls it; <c>null</c>: its id is its name.</summary>
    public string? Name { get; init; }

    /// <summary>Where the bud stage comes from.</summary>
    public StageSource StageSource { get; init; } = Stage is null ? StageSource.Followed : StageSource.Fixed;

    /// <summary>How chill is counted: portions, utah, positive-utah or hours.</summary>
    public string ChillModel { get; init; } = "portions";

    /// <summary>Chill that ends the buds' rest, in units of <see cref="ChillModel"/>, 1 to 2000.</summary>
    public double ChillNeed { get; init; } = Phenology.PublishedChill.UsualOf(Kind);

    /// <summary>The grower gave no need: <see cref="ChillNeed"/> is one published for the kind.</summary>
    public bool ChillNeedIsUsual { get; init; } = true;

    /// <summary>How heat is counted after that: asymcur, linear-4.5 or linear-4.7.</summary>
    public string HeatFunction { get; init; } = "linear-4.7";

    /// <summary>Heat to each stage; <c>null</c>: the published needs that come with linear-4.7.</summary>
    public GardenHeatNeeds? HeatNeeds { get; init; }

    /// <summary>How many trees stand here, 1 to 999.</summary>
    public int Trees { get; init; } = 1;

    /// <summary>Ground under all the crowns together, m², 0.1 to 10,000; <c>null</c> when not told.</summary>
    public double? CanopyAreaM2 { get; init; }

    /// <summary>Spray that wets the whole planting once, litres; <c>null</c> when not told.</summary>
    public double? SprayVolumeL { get; init; }

    /// <summary>The trees had leaf curl in the spring before the journal began.</summary>
    public bool HadCurlLastSpring { get; init; }
}
