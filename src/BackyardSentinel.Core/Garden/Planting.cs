namespace BackyardSentinel.Garden;

/// <summary>One or more trees of one kind, variety and bud stage at a site.</summary>
/// <param name="Id">Short id used in topics: letters, digits, hyphen.</param>
/// <param name="Kind">The kind of tree.</param>
/// <param name="Stage">
/// BBCH code that holds throughout. <c>null</c>: the stages are followed where <see cref="Follows"/> is given, else the
/// tissue is judged as if it could always be infected.
/// </param>
public sealed record Planting(string Id, TreeKind Kind = TreeKind.Peach, int? Stage = null)
{
    /// <summary>What the grower calls it; <c>null</c>: its id is its name.</summary>
    public string? Name { get; init; }

    /// <summary>How texts for people call it; topics, files and JSON keep to <see cref="Id"/>.</summary>
    public string Called => Name ?? Id;

    /// <summary>The variety's name, for the reader of messages; <c>null</c>: not told.</summary>
    public string? Variety { get; init; }

    /// <summary>Nobody gave the variety's own chill need: that of <see cref="Follows"/> is one published for the kind.</summary>
    public bool ChillNeedIsUsual { get; init; } = true;

    /// <summary>What the buds need, to follow their stages through the season; <c>null</c>: they are not followed.</summary>
    public StageNeeds? Follows { get; init; }

    /// <summary>Ground under all the crowns, m²; <c>null</c>: not known.</summary>
    public double? CanopyAreaM2 { get; init; }

    /// <summary>How many trees it is, from 1.</summary>
    public int Trees { get; init; } = 1;

    /// <summary>Mixture that wets the whole planting once, L; <c>null</c>: not known.</summary>
    public double? SprayVolumeL { get; init; }

    /// <summary>It had leaf curl in the spring before the journal began.</summary>
    public bool HadCurlLastSpring { get; init; }
}
