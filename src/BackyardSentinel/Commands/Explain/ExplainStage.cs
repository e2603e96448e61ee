using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Explain;

/// <summary>Explains a planting's bud stage, how open its tissue is, and when its buds will swell.</summary>
internal static class ExplainStage
{
    /// <summary>The stage, the sums behind it and the doubts, a sentence each.</summary>
    public static IEnumerable<string> Lines(ExplainScene scene, PlantingWatch planting)
    {
        var stage = planting.Stage;
        if (stage.Model is not { } model)
        {
            yield return stage.Code is { } fixedCode
                ? $"BBCH {fixedCode:00}{MeaningOf(fixedCode)}; fixed by the garden file."
                : "Not followed: the garden file has the tissue judged as open to infection the whole year.";
            yield break;
        }

        if (stage.Doubt is { } doubt)
            yield return doubt.Text;
        else if (stage.Code is { } code)
            yield return $"BBCH {code:00}{MeaningOf(code)}; {From(scene, planting, code)}.";
        yield return Span(stage);
        yield return Sums(model);
        if (model.UnknownChillHours > 0)
        {
            yield return string.Create(
                CultureInfo.InvariantCulture,
                $"{model.UnknownChillHours} hours of this winter's chill were not measured; "
                    + $"the span allows for all that they can have brought.")
                + (
                    model.HasUsualYear || stage.Buds == BudState.Open
                        ? ""
                        : " A table of monthly temperatures (climate_min and climate_max in the garden file), or one look at the buds, "
                            + "takes about three weeks off it.");
        }

        if (NeedsDoubt.Of(model) is { } unfit)
            yield return unfit.Text;
        foreach (var ignored in model.Doubts)
            yield return ignored;
    }

    /// <summary>How open the tissue is, and why.</summary>
    public static string Tissue(ExplainScene scene, PlantingWatch planting)
    {
        var (stage, factor) = (planting.Stage, planting.Risk.Susceptibility);
        if (stage.Model is null)
            return factor switch
            {
                0 => "Cannot be infected at this stage, before the leaf buds swell.",
                1 => "Fully open to infection.",
                _ => "Declining: past petal fall a window counts half (assumed).",
            };
        if (stage.Doubt is not null)
            return "Counted as fully open, because the stage is unknown.";
        if (!stage.IsSure && factor > 0)
            return "Counted as fully open, because the buds may be open.";
        if (factor == 0)
            return stage.Open.ClosedOn is { } closed && closed <= scene.Today
                ? $"Closed since {ExplainWords.Day(closed)}: {stage.Open.ClosedBecause}."
                : "Cannot be infected yet: the leaf buds are shut, also on the earliest tree that the needs allow.";
        return factor == 1
            ? "Fully open: from bud swell until the petals are down."
            : "Declining: the petals are down, and a window counts half (assumed) until the season closes.";
    }

    /// <summary>When the leaf buds will swell; <c>null</c> once they have, or where stages are not followed.</summary>
    public static BudSwell? Swell(ExplainScene scene, PlantingWatch planting)
    {
        if (
            planting.Stage.Model is not { } model
            || planting.Stage.Doubt is not null
            || model.DatesOf(BudStage.LeafBudSwell).Expected is not null)
            return null;
        // As the plan sees it, by the same code.
        var seen = scene
            .Season.Journal.OfType<StageEntry>()
            .Where(entry => entry.Site == scene.Site.Id && entry.Planting == planting.Planting.Id && entry.On <= scene.Today);
        return new SwellOutlook(scene.Watch.Site, scene.Watch.PastDays, true, scene.Season.Forecast, scene.At).Expect(model, seen);
    }

    /// <summary>Between which days the leaf buds swell, and what that makes of them today.</summary>
    private static string Span(PlantingStage stage)
    {
        if (stage.Doubt is not null)
            return "Leaf buds: may be open. Look at them and log what you see.";
        var dates = stage.Model!.DatesOf(BudStage.LeafBudSwell);
        return stage.Buds switch
        {
            BudState.Shut => "Leaf buds: shut. They have not begun to swell on the earliest tree that the needs allow.",
            BudState.MayBeOpen =>
                $"Leaf buds: may be open. The earliest tree began to swell on {ExplainWords.Day(dates.Early!.Value)}, "
                    + $"the expected one {(dates.Expected is { } on ? $"on {ExplainWords.Day(on)}" : "has not yet")}, "
                    + "the latest has not yet. Look at the buds and log what you see.",
            _ when dates.Early == dates.Late => $"Leaf buds: open since {ExplainWords.Day(dates.Late!.Value)}.",
            _ =>
                $"Leaf buds: open. They began to swell on {ExplainWords.Day(dates.Early!.Value)} at the earliest and "
                    + $"{ExplainWords.Day(dates.Late!.Value)} at the latest.",
        };
    }

    private static string From(ExplainScene scene, PlantingWatch planting, int code)
    {
        var model = planting.Stage.Model!;
        if (planting.Stage.Source == StageSource.Logged)
        {
            var seen = scene
                .Season.Journal.OfType<StageEntry>()
                .LastOrDefault(entry =>
                    entry.Site == scene.Site.Id && entry.Planting == planting.Planting.Id && entry.Code == code && entry.On <= scene.Today);
            return seen is null
                ? "seen by you"
                : string.Create(CultureInfo.InvariantCulture, $"seen by you on {ExplainWords.Day(seen.On)} (journal entry {seen.Number})");
        }

        var dates = model.DatesOf(BudStage.From(code));
        if (code == 0 || dates.Expected is not { } on)
            return "computed";
        return (dates.Early, dates.Late) switch
        {
            ({ } early, { } late) =>
                $"computed for {ExplainWords.Day(on)}, at the earliest {ExplainWords.Day(early)}, at the latest {ExplainWords.Day(late)}",
            ({ } early, null) =>
                $"computed for {ExplainWords.Day(on)}, at the earliest {ExplainWords.Day(early)}; the latest tree is not there yet",
            _ => $"computed for {ExplainWords.Day(on)}",
        };
    }

    private static string Sums(StageModel model)
    {
        var needs = model.Needs;
        var chill =
            $"Chill {ExplainWords.Figure(model.ChillSum)} of {ExplainWords.Figure(needs.ChillNeed)} {ExplainWords.Unit(needs.Chill)}"
            + (
                model.ChillMetOn is { } met
                    ? model.ByHeatAlone
                        ? $"; the days have grown so long that warmth counts without it since {ExplainWords.Day(met)}"
                        : $", met on {ExplainWords.Day(met)}"
                    : "");
        if (model.ChillMetOn is null && model.HeatSum <= 0)
            return $"{chill}; warmth counts once it is met.";
        var heat = string.Create(CultureInfo.InvariantCulture, $"{chill}; warmth {model.HeatSum:0} degree hours");
        foreach (var need in needs.Stages)
        {
            if (need.DegreeHours > model.HeatSum && need.LeafBud is { } next)
                return string.Create(CultureInfo.InvariantCulture, $"{heat}, of {need.DegreeHours:0} for BBCH {next} ({next.Meaning}).");
        }

        return $"{heat}, past the last need.";
    }

    private static string MeaningOf(int code) => BudStage.TryFrom(code, out var stage) ? $", {stage.Meaning}" : "";
}
