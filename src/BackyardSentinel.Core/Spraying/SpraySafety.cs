using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Spraying;

/// <summary>
/// The cautions that go with a spray, each worded in this one place: common sense of labels and extension texts, from
/// memory where nothing else is said. Every surface that asks for a spray shows them, the label first.
/// </summary>
public static class SpraySafety
{
    /// <summary>What stands above everything a plan says.</summary>
    public static Sentence Label { get; } = $"The label is the law; local rules and licensed advice come first.";

    /// <summary>What an oil is not.</summary>
    public static Sentence Oil { get; } = $"Oil does not stop leaf curl; it does not count as the dormant spray against it.";

    /// <summary>All of it in one breath, for a calendar.</summary>
    public static Sentence InOneBreath { get; } = $"{Label} Gloves, eye protection; no bees, no open blossom; people and pets away; "
        + $"from the ground.";

    private static readonly Sentence Clothes = $"Gloves, eye protection, long sleeves and trousers, closed shoes. "
        + $"Wash hands and face afterwards, and the clothes apart from others.";
    private static readonly Sentence FromTheGround =
        $"Spray from the ground, not from a ladder, and never overhead without face protection.";
    private static readonly Sentence Harvest = $"Keep the label's days before harvest; eat no fruit before that.";
    private static readonly Sentence Bees = $"Not on open blossom or where bees fly. Nothing into ponds, streams or drains.";
    private static readonly Sentence Copper = $"Copper stays in the soil for good and harms life in water; spray no more than it takes.";
    private static readonly Sentence AcidWater = $"Mix copper with neither acid water nor acid fertiliser: "
        + $"acid frees copper that burns buds and bark.";
    private static readonly Sentence Chlorothalonil =
        $"Chlorothalonil may cause cancer and is not approved in the European Union: cover skin, and do not breathe the spray.";

    /// <summary>Cautions for the products of a garden.</summary>
    /// <param name="products">The products.</param>
    public static IReadOnlyList<Sentence> For(IReadOnlyList<SprayProduct> products)
    {
        bool Any(Func<ActiveIngredient, bool> which) => products.Any(product => which(product.Active));
        List<Sentence> safety =
        [
            Label,
            Clothes,
            $"People and pets stay away until it has dried and the label's time has passed.",
            FromTheGround,
            $"Take animals, their feed and toys away from under the tree, and cover what is eaten there, such as salad and herbs.",
            Bees,
            Harvest,
            $"Mix only what you need. Leftovers and empty containers go where label and local rules say; "
                + $"keep the rest in its own container, locked away.",
        ];
        if (Any(active => active == ActiveIngredient.LimeSulfur))
            safety.Add($"Lime sulfur is corrosive and can blind: goggles and chemical-resistant gloves, and never together with acids.");
        if (Any(active => active.IsSulfur()))
            safety.Add($"No sulfur of any kind on apricot.");
        if (Any(active => active.IsCopper()))
            safety.AddRange([Copper, AcidWater]);
        if (Any(active => active == ActiveIngredient.Chlorothalonil))
            safety.Add(Chlorothalonil);
        if (Any(active => active == ActiveIngredient.Oil))
            safety.Add(Oil);
        return safety;
    }

    /// <summary>Cautions for filling a sprayer with one product.</summary>
    /// <param name="product">The product.</param>
    /// <param name="units">The grower's units.</param>
    public static IEnumerable<Sentence> ForMix(SprayProduct product, UnitSystem units)
    {
        var (active, label) = (product.Active, product.Label);
        yield return Label;
        yield return $"Where label or rules differ from what stands here, they hold.";
        if (product.IsTemplate)
            yield return $"These are generic figures, not your product's: check every one against your label.";
        if (active == ActiveIngredient.LimeSulfur)
        {
            yield return $"DANGER: lime sulfur is corrosive and can blind for good. Goggles, "
                + $"chemical-resistant gloves and covered skin are a must.";
            yield return $"Never bring it together with acids or acid fertiliser: poisonous gas. "
                + $"Nor with copper or other products unless the label says so.";
            yield return $"Keep it off walls, metal and paint.";
        }
        else
        {
            yield return Clothes;
            yield return $"Mix upwind.";
        }

        if (active == ActiveIngredient.Bordeaux)
            yield return $"It is corrosive and stains: keep it off walls, metal and paint.";
        if (active.IsSulfur())
            yield return $"Never on apricot.";
        if (active.DaysFromOil() is not null)
            yield return $"Never together with oil; keep the label's days apart from it, in either order.";
        if (active == ActiveIngredient.Oil)
            yield return $"{Oil} Keep the label's days apart from sulfur, captan and chlorothalonil, in either order.";
        if (active == ActiveIngredient.Chlorothalonil)
            yield return Chlorothalonil;
        if (active.IsCopper())
        {
            yield return Copper;
            yield return AcidWater;
        }

        yield return Bees;
        yield return label.ReEntryH is { } hours
            ? (Sentence)$"Keep people and pets away, and stay out yourself, until the spray has dried and {hours:0.#} h have passed."
            : $"Keep people and pets away, and stay out yourself, until the spray has dried and the label's re-entry time has passed.";
        yield return label.PreHarvestDays is { } days
            ? $"No fruit is picked for {days} days after the last spray; eat none before that."
            : Harvest;
        yield return FromTheGround;
        if (label.MinTemperatureC is { } low)
            yield return $"Not below {new Figure(units.Temperature(low))}.";
        if (label.MaxTemperatureC is { } high)
            yield return $"Not above {new Figure(units.Temperature(high))}.";
    }

    /// <summary>What holds after a spray that was written down, in one line.</summary>
    /// <param name="product">The product.</param>
    /// <param name="endedAt">When spraying ended.</param>
    /// <param name="zone">The garden's zone: hours pass as they do, whatever its clocks are set to.</param>
    public static Sentence After(SprayProduct product, DateTimeOffset endedAt, TimeZoneInfo zone)
    {
        var away = product.Label.ReEntryH is { } hours
            ? (Sentence)$"until {LocalTime.Of(endedAt.AddHours(hours), zone, TimeForm.Moment)} (label: {hours:0.#} h)"
            : $"until the label's time has passed";
        var harvest = product.Label.PreHarvestDays is { } days
            ? (Sentence)($"pick no fruit before {LocalTime.Of(LocalDay.Of(endedAt, zone).AddDays(days), TimeForm.DayOfYear)} "
                + $"(label: {days} days)")
            : $"keep the days before harvest";
        return $"Keep people and pets away {away}, and {harvest}. The label is the law.";
    }
}
