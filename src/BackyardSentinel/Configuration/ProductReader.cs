using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>products</c>.</summary>
internal static class ProductReader
{
    private const double GramsPerSquareMetreToKgPerHa = 10;
    private const double LargestDose = 500;

    /// <summary>The products; a template's figures stand wherever the garden file gives none.</summary>
    public static IReadOnlyList<SprayProduct> ReadAll(SectionReader garden, bool hasApricots, UnitSystem units)
    {
        Dictionary<string, YamlNode> ids = new(StringComparer.Ordinal);
        return [.. garden.List("products").Select(map => Read(map, ids, hasApricots, units, garden.Problems))];
    }

    private static SprayProduct Read(
        YamlMapping map,
        Dictionary<string, YamlNode> ids,
        bool hasApricots,
        UnitSystem units,
        ProblemList problems)
    {
        SectionReader keys = new(map, ProductKeys.Product, problems);
        var id = IdText.Read(keys, ids, $"product", problems, $"a name in the journal", $"the journal");
        var template = keys.Word("template") is { } word ? SprayTemplates.All.First(one => one.Id == word) : null;
        var active = keys.Choice<ActiveIngredient>("active", ActiveIngredients.Word);
        var (content, copper) = (keys.OptionalNumber("content"), keys.OptionalNumber("copper"));
        var dose = Dose(keys, problems);
        var product = new SprayProduct
        {
            Id = id,
            Name = keys.Text("name") ?? id,
            Active = active ?? template?.Active ?? ActiveIngredient.Other,
            // One of the two figures given makes the template's other one void.
            ContentPct = content ?? (copper is null ? template?.ContentPct : null),
            CopperPct = copper ?? (content is null ? template?.CopperPct : null),
            Unit = dose?.Unit ?? template?.Unit ?? ProductUnit.Gram,
            IsPowder = template?.IsPowder ?? false,
            DensityKgPerL = Density(keys, problems) ?? template?.DensityKgPerL,
            DosePerL = dose?.PerLitre ?? template?.DosePerL,
            IsTemplate = template is not null,
            WashOff = WashOff(keys, units),
            Label = Label(keys, template?.Label ?? new LabelLimit(), units, problems),
        };
        ProductCheck.Check(keys, product, template, active, hasApricots);
        return product;
    }

    private static LabelLimit Label(SectionReader keys, LabelLimit usual, UnitSystem units, ProblemList problems)
    {
        var degrees = units.UnitOf(Dimension.Temperature);
        var excluded = keys.Choices<TreeKind>("not_on", TreeKinds.Word);
        return new LabelLimit
        {
            MaxApplicationsPerSeason = keys.OptionalWhole("max_applications") ?? usual.MaxApplicationsPerSeason,
            MaxCopperKgPerHaPerSeason = MaxCopper(keys, problems) ?? usual.MaxCopperKgPerHaPerSeason,
            MinDaysBetween = keys.OptionalWhole("days_between") ?? usual.MinDaysBetween,
            FirstStage = keys.OptionalWhole("first_stage") ?? usual.FirstStage,
            LastStage = keys.OptionalWhole("last_stage") ?? usual.LastStage,
            MinTemperatureC = keys.OptionalAmount("min_temperature", Dimension.Temperature, degrees) ?? usual.MinTemperatureC,
            MaxTemperatureC = keys.OptionalAmount("max_temperature", Dimension.Temperature, degrees) ?? usual.MaxTemperatureC,
            DryBeforeH = keys.OptionalDuration("dry_before")?.TotalHours ?? usual.DryBeforeH,
            DryAfterH = keys.OptionalDuration("dry_after")?.TotalHours ?? usual.DryAfterH,
            FrostFreeBeforeH = keys.OptionalDuration("frost_free_before")?.TotalHours ?? usual.FrostFreeBeforeH,
            FrostFreeAfterH = keys.OptionalDuration("frost_free")?.TotalHours ?? usual.FrostFreeAfterH,
            MinWindMs = keys.OptionalAmount("wind_min", Dimension.Speed) ?? usual.MinWindMs,
            MaxWindMs = keys.OptionalAmount("wind_max", Dimension.Speed) ?? usual.MaxWindMs,
            ExcludedKinds = excluded.Count > 0 ? excluded : usual.ExcludedKinds,
            ReEntryH = keys.OptionalDuration("reentry")?.TotalHours ?? usual.ReEntryH,
            PreHarvestDays = keys.OptionalWhole("days_before_harvest") ?? usual.PreHarvestDays,
            DaysFromOil = keys.OptionalWhole("days_from_oil"),
        };
    }

    private static WashOff WashOff(SectionReader keys, UnitSystem units)
    {
        var recheckMm = keys.Amount("recheck_rain", Dimension.Depth, units.UnitOf(Dimension.Depth));
        var spentMm = keys.Amount("spent_rain", Dimension.Depth, units.UnitOf(Dimension.Depth));
        if (spentMm >= recheckMm)
            return new WashOff(recheckMm, spentMm);
        keys.Problems.Error(
            keys.Place(keys.Has("spent_rain") ? "spent_rain" : "recheck_rain"),
            $"'spent_rain' is below 'recheck_rain', so the cover would be gone before it is looked at",
            $"recheck_rain not above spent_rain");
        return new WashOff();
    }

    private static (double PerLitre, ProductUnit Unit)? Dose(SectionReader keys, ProblemList problems)
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
            problems.Error(scalar, $"'dose' is 0, so the spray would be plain water", key.Range);
        else if (perLitre is < 0 or > LargestDose)
            problems.Error(scalar, $"'dose' is out of range: {ProblemList.Quote(scalar.Value)}", key.Range);
        else
            return (perLitre, byVolume ? ProductUnit.Millilitre : ProductUnit.Gram);
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
