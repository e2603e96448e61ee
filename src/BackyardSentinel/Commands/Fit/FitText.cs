using System.Globalization;
using BackyardSentinel.Commands.Explain;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;

namespace BackyardSentinel.Commands.Fit;

/// <summary>Writes a fitted heat need, and the lines for the garden file that follow from it.</summary>
internal static class FitText
{
    /// <summary>Writes it.</summary>
    public static void Write(
        string planting,
        BudStage stage,
        IReadOnlyList<DateOnly> seen,
        HeatNeedFit fit,
        StageNeeds needs,
        double present,
        TextWriter output)
    {
        output.Write(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{planting}: BBCH {stage} ({stage.Meaning}) was seen in {seen.Count} seasons: "
                    + $"{string.Join(", ", seen.Select(ExplainWords.Day))}\n"));
        foreach (var season in fit.SetAside)
            output.Write($"set aside: {season.Why}\n");
        output.Write(
            string.Create(
                CultureInfo.InvariantCulture,
                $"heat need {fit.HeatNeed:0} degree hours ({needs.Heat.Word()}), "
                    + $"after {needs.ChillNeed:0.##} {ExplainWords.Unit(needs.Chill)}, from {fit.Years} seasons\n"));
        output.Write(
            string.Create(
                CultureInfo.InvariantCulture,
                $"typical error {fit.RmseDays:0.0} days over these seasons, {fit.LeaveOneOutRmseDays:0.0} days when each "
                    + $"is predicted from the others\n"));
        output.Write(string.Create(CultureInfo.InvariantCulture, $"the present need, {present:0} degree hours, is "));
        output.Write(
            fit.PresentRmseDays is { } now
                ? string.Create(CultureInfo.InvariantCulture, $"off by {now:0.0} days\n\n")
                : "not met in the hours known\n\n");
        if (!fit.IsBetter)
            output.Write(
                "Not recommended: the present need would have been as near or nearer. "
                + "Look for a day that was noted wrong, or wait for more springs.\n\n");
        output.Write($"For {planting} in the garden file; the stages beside {stage} are stretched alike (assumed):\n\n");
        output.Write($"        chill_model: {needs.Chill.Word()}\n");
        output.Write(string.Create(CultureInfo.InvariantCulture, $"        chill_need: {needs.ChillNeed:0.##}\n"));
        output.Write($"        heat_function: {needs.Heat.Word()}\n        heat_needs:\n");
        foreach (var (key, code) in ((string, int)[])[("swell", 1), ("green_tip", 9), ("first_bloom", 10), ("petal_fall", 19)])
            output.Write(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"          {key}: {needs.Stages.Single(need => need.LeafBud?.Code == code).DegreeHours:0}\n"));
    }
}
