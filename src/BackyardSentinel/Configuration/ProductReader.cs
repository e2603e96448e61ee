using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>products</c>.</summary>
internal static class ProductReader
{
    private const double GramsPerSquareMetreToKgPerHa = 10;
    private const double LargestDose = 500;

    public static IReadOnlyList<GardenProduct> ReadAll(
        SectionReader garden,
        IReadOnlyList<GardenSite> sites,
        UnitSystem units,
        ProblemList problems)
    {
        Dictionary<string, YamlNode> ids = new(StringComparer.Ordinal);
        var apricots = sites.Any(s => s.Plantings.Any(p => p.Kind == "apricot"));
        return [.. garden.List("products").Select(map => Read(map, ids, apricots, units, problems))];
    }

    private static GardenProduct Read(
        YamlMapping map,
        Dictionary<string, YamlNode> ids,
        bool apricots,
        UnitSystem units,
        ProblemList problems)
    {
        SectionReader keys = new(map, ProductKeys.Product, problems);
        var product = new GardenProduct
        {
            Id = IdText.Read(keys, ids, "product", problems, "a name in the journal", "the journal"),
            Name = keys.Text("name"),
            Template = keys.Word("template"),
            Active = keys.Word("active"),
            ContentPct = keys.OptionalNumber("content"),
            CopperPct = keys.OptionalNumber("copper"),
            DensityKgPerL = Density(keys, problems),
            Dose = Dose(keys, problems),
            MaxApplications = keys.OptionalWhole("max_applications"),
            MaxCopperKgPerHa = MaxCopper(keys, problems),
            DaysBetween = keys.OptionalWhole("days_between"),
            FirstStage = keys.OptionalWhole("first_stage"),
            LastStage = keys.OptionalWhole("last_stage"),
            MinTemperatureC = keys.OptionalAmount("min_temperature", Dimension.Temperature, units.UnitOf(Dimension.Temperature)),
            MaxTemperatureC = keys.OptionalAmount("max_temperature", Dimension.Temperature, units.UnitOf(Dimension.Temperature)),
            DryBefore = keys.OptionalDuration("dry_before"),
            DryAfter = keys.OptionalDuration("dry_after"),
            FrostFreeBefore = keys.OptionalDuration("frost_free_before"),
            FrostFree = keys.OptionalDuration("frost_free"),
            WindMinMs = keys.OptionalAmount("wind_min", Dimension.Speed),
            WindMaxMs = keys.OptionalAmount("wind_max", Dimension.Speed),
            NotOn = keys.WordList("not_on"),
            Reentry = keys.OptionalDuration("reentry"),
            DaysBeforeHarvest = keys.OptionalWhole("days_before_harvest"),
            DaysFromOil = keys.OptionalWhole("days_from_oil"),
            RecheckRainMm = keys.Amount("recheck_rain", Dimension.Depth, units.UnitOf(Dimension.Depth)),
            SpentRainMm = keys.Amount("spent_rain", Dimension.Depth, units.UnitOf(Dimension.Depth)),
        };
        ProductCheck.Check(keys, product, apricots, problems);
        return product;
    }

    private static ProductDose? Dose(SectionReader keys, ProblemList problems)
    {
        if (keys.Scalar("dose") is not { } scalar)
            return null;
        var key = ProductKeys.Product["dose"];
        if (
            AmountText.ParseRatio(scalar.Value, [Dimension.Mass, Dimension.Volume], Dimension.Volume) is not var (product, waterL)
            || waterL <= 0)
        {
            problems.Error(
                scalar,
                $"'dose' is an amount of product for an amount of water, but {ProblemList.Quote(scalar.Value)} cannot be read as that",
                key.Range);
            return null;
        }

        var byVolume = product.Dimension == Dimension.Volume;
        var perLitre = product.Value * (byVolume ? 1000 : 1) / waterL;
        if (perLitre == 0)
            problems.Error(scalar, "'dose' is 0, so the spray would be plain water", key.Range);
        else if (perLitre is < 0 or > LargestDose)
            problems.Error(scalar, $"'dose' is out of range: {ProblemList.Quote(scalar.Value)}", key.Range);
        else
            return new ProductDose(perLitre, byVolume);
        return null;
    }

    /// <summary>kg/L, as a bare number or as the weight of a volume.</summary>
    private static double? Density(SectionReader keys, ProblemList problems)
    {
        if (keys.Scalar("density") is not { } scalar)
            return null;
        if (AmountText.ParseRatio(scalar.Value, [Dimension.Mass], Dimension.Volume) is not var (grams, litres) || litres <= 0)
            return keys.OptionalNumber("density");
        var key = ProductKeys.Product["density"];
        var kgPerL = grams.Value / Unit.Kilogram.Factor / litres;
        if (kgPerL >= key.Least && kgPerL <= key.Most)
            return kgPerL;
        problems.Error(scalar, $"'density' is out of range: {ProblemList.Quote(scalar.Value)}", key.Range);
        return null;
    }

    private static double? MaxCopper(SectionReader keys, ProblemList problems)
    {
        if (keys.Scalar("max_copper") is not { } scalar)
            return null;
        var key = ProductKeys.Product["max_copper"];
        if (AmountText.ParseRatio(scalar.Value, [Dimension.Mass], Dimension.Area) is not var (copper, areaM2) || areaM2 <= 0)
            problems.Error(
                scalar,
                $"'max_copper' is a weight for an area, but {ProblemList.Quote(scalar.Value)} cannot be read as that",
                key.Range);
        else if (copper.Value / areaM2 * GramsPerSquareMetreToKgPerHa is var kgPerHa && (kgPerHa < key.Least || kgPerHa > key.Most))
            problems.Error(scalar, $"'max_copper' is out of range: {ProblemList.Quote(scalar.Value)}", key.Range);
        else
            return kgPerHa;
        return null;
    }
}
