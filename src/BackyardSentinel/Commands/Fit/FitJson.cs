using System.Text.Json;
using BackyardSentinel.Commands.Journal;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;

namespace BackyardSentinel.Commands.Fit;

/// <summary>Writes a fitted heat need as one JSON object.</summary>
internal static class FitJson
{
    /// <summary>Writes the object and a line end.</summary>
    public static void Write(
        JournalPlace place,
        BudStage stage,
        IReadOnlyList<DateOnly> seen,
        HeatNeedFit fit,
        StageNeeds needs,
        double present,
        TextWriter output)
    {
        var document = new FitDocument(
            place.Site,
            place.Planting,
            stage.Code,
            seen,
            [.. fit.SetAside.Select(season => new FitSetAside(season.SeenOn, season.Why, season.DaysOff))],
            fit.Years,
            needs.Chill.Word(),
            needs.ChillNeed,
            needs.Heat.Word(),
            fit.HeatNeed,
            fit.RmseDays,
            fit.LeaveOneOutRmseDays,
            present,
            fit.PresentRmseDays,
            fit.IsBetter,
            new FitNeeds(Need(1), Need(9), Need(10), Need(19)));
        output.Write(JsonSerializer.Serialize(document, ContractJson.Printed.FitDocument) + "\n");

        double Need(int leafBud) => needs.Stages.Single(need => need.LeafBud?.Code == leafBud).DegreeHours;
    }
}
