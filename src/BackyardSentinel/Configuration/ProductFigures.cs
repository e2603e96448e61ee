using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Configuration;

/// <summary>A product of the garden file as the core reckons with it.</summary>
internal static class ProductFigures
{
    /// <summary>The product; a template's figures stand wherever the garden file gives none.</summary>
    public static SprayProduct Of(GardenProduct product)
    {
        var template = SprayTemplates.All.FirstOrDefault(one => one.Id == product.Template);
        var label = template?.Label ?? new LabelLimit();
        return new SprayProduct
        {
            Id = product.Id,
            Name = product.Name ?? product.Id,
            Active = product.Active is { } word ? Active(word) : template?.Active ?? ActiveIngredient.Other,
            ContentPct = product.ContentPct ?? (product.CopperPct is null ? template?.ContentPct : null),
            CopperPct = product.CopperPct ?? (product.ContentPct is null ? template?.CopperPct : null),
            Unit = product.Dose is { } dose
                ? (dose.ByVolume ? ProductUnit.Millilitre : ProductUnit.Gram)
                : template?.Unit ?? ProductUnit.Gram,
            IsPowder = template?.IsPowder ?? false,
            DensityKgPerL = product.DensityKgPerL ?? template?.DensityKgPerL,
            DosePerL = product.Dose?.PerLitre ?? template?.DosePerL,
            IsTemplate = template is not null,
            WashOff = new WashOff(product.RecheckRainMm, product.SpentRainMm),
            Label = label with
            {
                MaxApplicationsPerSeason = product.MaxApplications ?? label.MaxApplicationsPerSeason,
                MaxCopperKgPerHaPerSeason = product.MaxCopperKgPerHa ?? label.MaxCopperKgPerHaPerSeason,
                MinDaysBetween = product.DaysBetween ?? label.MinDaysBetween,
                FirstStage = product.FirstStage ?? label.FirstStage,
                LastStage = product.LastStage ?? label.LastStage,
                MinTemperatureC = product.MinTemperatureC ?? label.MinTemperatureC,
                MaxTemperatureC = product.MaxTemperatureC ?? label.MaxTemperatureC,
                DryBeforeH = product.DryBefore?.TotalHours ?? label.DryBeforeH,
                DryAfterH = product.DryAfter?.TotalHours ?? label.DryAfterH,
                FrostFreeBeforeH = product.FrostFreeBefore?.TotalHours ?? label.FrostFreeBeforeH,
                FrostFreeAfterH = product.FrostFree?.TotalHours ?? label.FrostFreeAfterH,
                MinWindMs = product.WindMinMs ?? label.MinWindMs,
                MaxWindMs = product.WindMaxMs ?? label.MaxWindMs,
                ExcludedKinds = product.NotOn.Count > 0 ? product.NotOn : label.ExcludedKinds,
                ReEntryH = product.Reentry?.TotalHours ?? label.ReEntryH,
                PreHarvestDays = product.DaysBeforeHarvest ?? label.PreHarvestDays,
                DaysFromOil = product.DaysFromOil,
            },
        };
    }

    /// <summary>The active ingredient of a word of the garden file.</summary>
    public static ActiveIngredient Active(string word) =>
        Enum.GetValues<ActiveIngredient>().First(active => active.Word() == word);
}
