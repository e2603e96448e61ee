using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>Rain has taken the cover off.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="At">When it came about, UTC.</param>
/// <param name="Product">The product's id in the garden file.</param>
/// <param name="RainMm">Rain since it dried, mm.</param>
/// <param name="SprayedOn">The local day of the spray.</param>
public sealed record CoverSpent(string Site, string Planting, DateTimeOffset At, string Product, double RainMm, DateOnly SprayedOn)
    : PlantingOccasion(Site, Planting, At)
{
    /// <summary>The product's name as the grower wrote it; its id where none was given.</summary>
    public string ProductName { get; init; } = Product;

    /// <inheritdoc/>
    public override string Kind => "cover-spent";

    /// <summary>The same story as <see cref="CoverToRecheck"/>, one rung up.</summary>
    public override string Story => $"cover/{Product}/{Stamp(SprayedOn)}";

    /// <inheritdoc/>
    public override string Subject => $"{Site}/{Planting}/cover/{Product}";

    /// <inheritdoc/>
    public override int Rung => 1;

    /// <inheritdoc/>
    public override DateTimeOffset UsefulUntil => At.AddDays(7);

    /// <inheritdoc/>
    public override Urgency Urgency => Urgency.Normal;

    /// <inheritdoc/>
    public override Wait Wait => Wait.None;

    /// <inheritdoc/>
    public override void WriteFacts(IFactWriter facts)
    {
        facts.Named("product", Product, ProductName);
        facts.Rain("rain", RainMm);
        facts.Day("sprayed_on", SprayedOn);
        facts.Text("cover", Cover.Spent.Word());
    }
}
