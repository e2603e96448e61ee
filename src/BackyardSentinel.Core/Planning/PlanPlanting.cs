using BackyardSentinel.Garden;

namespace BackyardSentinel.Planning;

/// <summary>What the planner must know of a planting. <c>null</c> means not known, and then the plan says so.</summary>
public sealed record PlanPlanting
{
    /// <summary>The planting's id.</summary>
    public required string Id { get; init; }

    /// <summary>What the grower calls it; <c>null</c>: its id is its name.</summary>
    public string? Name { get; init; }

    /// <summary>How sentences call it.</summary>
    public string Called => Name ?? Id;

    /// <summary>The kind of tree.</summary>
    public TreeKind Kind { get; init; }

    /// <summary>How many trees it is, from 1.</summary>
    public int Trees { get; init; } = 1;

    /// <summary>BBCH stage now, 0–99.</summary>
    public int? Stage { get; init; }

    /// <summary>The grower saw that stage; otherwise it is reckoned.</summary>
    public bool StageIsSeen { get; init; }

    /// <summary>When its leaf buds are expected to swell.</summary>
    public ExpectedSwell? BudSwell { get; init; }

    /// <summary>It had leaf curl last spring.</summary>
    public bool? CurlLastSpring { get; init; }

    /// <summary>The last leaf-fall entry of the journal, of whatever season.</summary>
    public LeafFallEntry? LeafFall { get; init; }

    /// <summary>What is left of a protectant on it.</summary>
    public Cover Cover { get; init; }

    /// <summary>Rain since the spray behind that cover, mm.</summary>
    public double? CoverRainMm { get; init; }

    /// <summary>The local day since which a rain shelter is over it; <c>null</c>: none is.</summary>
    public DateOnly? ShelteredSince { get; init; }

    /// <summary>A rain shelter is over it.</summary>
    public bool Sheltered => ShelteredSince is not null;

    /// <summary>A rain shelter was over it this season or the last.</summary>
    public bool UsesShelter { get; init; }

    /// <summary>Mixture used on the whole planting, L; with it the label's copper limit counts the spray that is planned.</summary>
    public double? SprayVolumeL { get; init; }
}
