namespace BackyardSentinel.Alerting;

/// <summary>A stretch of hours fit for spraying one product was found in the forecast.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Product">The product's id in the garden file.</param>
/// <param name="Start">Its start, UTC.</param>
/// <param name="End">Its end, UTC.</param>
public sealed record SpraySlotFound(
    string Site,
    string Planting,
    DateTimeOffset At,
    string Product,
    DateTimeOffset Start,
    DateTimeOffset End
) : PlantingOccasion(Site, Planting, At)
{
    /// <summary>The product's name as the grower wrote it; its id where none was given.</summary>
    public string ProductName { get; init; } = Product;

    /// <summary>The spray it would serve, in words.</summary>
    public string? Serves { get; init; }

    /// <summary>Local day before which that spray should be done; <c>null</c>: not known.</summary>
    public DateOnly? Deadline { get; init; }

    /// <summary>It would repeat a spray that rain has worn off: that can be considered, and is not asked for.</summary>
    public bool IsRepeat { get; init; }

    /// <summary>Copper that has gone on the ground this season, kg/ha; <c>null</c>: not known, or the product brings none.</summary>
    public double? CopperKgPerHa { get; init; }

    /// <inheritdoc/>
    public override string Kind => "spray-slot-found";

    /// <inheritdoc/>
    public override string Story => $"slot/{Product}/{Stamp(DateOnly.FromDateTime(Start.UtcDateTime))}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/{Planting}/slot/{Product}";

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => End;

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.Daytime;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Named("product", Product, ProductName);
        facts.Moment("start", Start);
        facts.Moment("end", End);
        facts.Text("serves", Serves);
        facts.Day("deadline", Deadline);
        facts.Flag("repeat", IsRepeat);
        facts.CopperPerArea("copper_this_season", CopperKgPerHa);
    }
}
