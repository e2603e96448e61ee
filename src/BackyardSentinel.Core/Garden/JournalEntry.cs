namespace BackyardSentinel.Garden;

/// <summary>
/// What the grower did or saw on one planting. It counts from its local day on, whenever it was written down; the
/// grower's eyes overrule the model.
/// </summary>
/// <param name="Number">Its number in the journal, from 1; a later number was written down later.</param>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day.</param>
public abstract record JournalEntry(long Number, string Site, string Planting, DateOnly On)
{
    /// <summary>The word of each kind, in the order of the year's first need.</summary>
    public static IReadOnlyList<string> Kinds { get; } =
        [StageEntry.Word, SprayEntry.Word, ScoutEntry.Word, PickEntry.Word, LeafFallEntry.Word, ShelterEntry.Word];

    /// <summary>The word of its kind.</summary>
    public abstract string Kind { get; }

    /// <summary>The grower's own words, if any.</summary>
    public string? Note { get; init; }
}

/// <summary>A bud stage was seen.</summary>
/// <param name="Number">Its number in the journal.</param>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day.</param>
/// <param name="Code">BBCH code of stone fruit.</param>
public sealed record StageEntry(long Number, string Site, string Planting, DateOnly On, int Code)
    : JournalEntry(Number, Site, Planting, On)
{
    /// <summary>The word of this kind.</summary>
    public const string Word = "stage";

    /// <inheritdoc/>
    public override string Kind => Word;
}

/// <summary>A spray was applied.</summary>
/// <param name="Number">Its number in the journal.</param>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day.</param>
/// <param name="Product">The product's id in the garden file.</param>
/// <param name="VolumeL">Spray mixture used on the whole planting, litres.</param>
/// <param name="DosePerL">Product in a litre of mixture, g or mL as the product is measured; <c>null</c>: the label's dose.</param>
/// <param name="At">Local time at which spraying ended; <c>null</c>: not noted, noon is assumed.</param>
public sealed record SprayEntry(
    long Number, string Site, string Planting, DateOnly On, string Product, double VolumeL, double? DosePerL = null, TimeOnly? At = null)
    : JournalEntry(Number, Site, Planting, On)
{
    /// <summary>The word of this kind.</summary>
    public const string Word = "spray";

    /// <summary>The least and the most mixture, L. Assumed: wider than any garden's.</summary>
    public const double LeastVolumeL = 0.001, MostVolumeL = 100_000;

    /// <summary>The least and the most product in a litre of mixture, g or mL. Assumed: wider than any label's.</summary>
    public const double LeastDosePerL = 0.000_001, MostDosePerL = 10_000;

    /// <inheritdoc/>
    public override string Kind => Word;
}

/// <summary>Shoots were looked at for leaf curl.</summary>
/// <param name="Number">Its number in the journal.</param>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day.</param>
/// <param name="Shoots">Shoots looked at; 20 by custom.</param>
/// <param name="Curled">Of these, shoots with curl.</param>
/// <param name="Symptom">The furthest stage seen; <c>null</c> when none was seen or noted.</param>
public sealed record ScoutEntry(
    long Number, string Site, string Planting, DateOnly On, int Shoots, int Curled, SymptomStage? Symptom = null)
    : JournalEntry(Number, Site, Planting, On)
{
    /// <summary>The word of this kind.</summary>
    public const string Word = "scout";

    /// <inheritdoc/>
    public override string Kind => Word;
}

/// <summary>Curled leaves were picked.</summary>
/// <param name="Number">Its number in the journal.</param>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day.</param>
public sealed record PickEntry(long Number, string Site, string Planting, DateOnly On) : JournalEntry(Number, Site, Planting, On)
{
    /// <summary>The word of this kind.</summary>
    public const string Word = "pick";

    /// <inheritdoc/>
    public override string Kind => Word;
}

/// <summary>The rain shelter was put over a planting, or taken off.</summary>
/// <param name="Number">Its number in the journal.</param>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day on which that was done.</param>
/// <param name="IsOn">It is on from the day after; otherwise it is off from that day.</param>
public sealed record ShelterEntry(long Number, string Site, string Planting, DateOnly On, bool IsOn)
    : JournalEntry(Number, Site, Planting, On)
{
    /// <summary>The word of this kind.</summary>
    public const string Word = "shelter";

    /// <inheritdoc/>
    public override string Kind => Word;
}

/// <summary>So much of the leaves had fallen in autumn.</summary>
/// <param name="Number">Its number in the journal.</param>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day.</param>
/// <param name="FallenPct">Share of leaves down, %.</param>
public sealed record LeafFallEntry(long Number, string Site, string Planting, DateOnly On, double FallenPct)
    : JournalEntry(Number, Site, Planting, On)
{
    /// <summary>The word of this kind.</summary>
    public const string Word = "leaf-fall";

    /// <inheritdoc/>
    public override string Kind => Word;
}
