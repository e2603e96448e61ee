using System.Text.Json;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Writes a replay as one JSON object; docs/replay.md describes it.</summary>
public static class ReplayJson
{
    /// <summary>Writes the object and a line end.</summary>
    /// <param name="result">What the replay found.</param>
    /// <param name="output">Where to.</param>
    /// <param name="say">The words of an alert; <c>null</c>: the built-in ones.</param>
    public static void Write(ReplayResult result, Stream output, Func<Alert, AlertText>? say = null)
    {
        var english = new Lazy<AlertWords>(() => AlertWords.English(result.Site.Units));
        say ??= alert => english.Value.Say(alert, _ => result.Site.Zone);
        JsonSerializer.Serialize(output, Document(result, say), ContractJson.Printed.ReplayDocument);
        output.Write("\n"u8);
    }

    private static ReplayDocument Document(ReplayResult result, Func<Alert, AlertText> say) => new(
        result.Logs,
        result.Site.Id,
        result.Rows,
        result.Rejected.Select(
            row => new ReplayedRejection(result.Logs.Count > 1 ? row.File : null, row.Line > 0 ? row.Line : null, row.Reason)),
        result.RejectedCount,
        result.Intervals,
        result.Spells.Select(WetSpellFigures.Of),
        result.Windows.Concat(result.Sheltered).OrderBy(window => window.OpenedAt).Select(window => Window(result, window)),
        result.Stages.Select(stage => new ReplayedStage(
            stage.Planting,
            stage.Code,
            stage.On,
            stage.Logged ? StageSource.Logged : StageSource.Computed,
            stage.Early,
            stage.Late)),
        result.MayBeOpen.Select(span => new ReplayedSpan(span.Planting, span.From, span.To)),
        result.Alerts.Select(alert => Alert(alert, say(alert))),
        result.Findings,
        result.If is { } asked ? Asked(asked) : null,
        result.Compared is { } compared ? Compared(compared) : null);

    private static ReplayedComparison Compared(RulesCompared compared) => new(
        compared.Rules.Select(rule => new ReplayedRule(
            rule.Name,
            rule.VariantOf,
            rule.Windows,
            rule.Verified is { } verified
                ? new ReplayedScores(
                    verified.Hits,
                    verified.FalseAlarms,
                    verified.Misses,
                    verified.Unverified,
                    verified.CorrectNegatives,
                    verified.Pod,
                    verified.Far,
                    verified.Csi,
                    verified.Peirce)
                : null)),
        compared.Spells.Select(row => new ReplayedVerdicts(
            row.From,
            row.To,
            row.Spell is { } spell ? WetSpellFigures.Of(spell) : null,
            row.Plantings,
            row.Parts,
            row.Verdicts.Select(one => new ReplayedVerdict(one.Rule, one.Judges, one.OpenedAt, one.Level, one.Why)))));

    private static ReplayedWhatIf Asked(WhatIf asked) => new(
        asked.Move.On,
        asked.Move.InsteadOf,
        asked.Move.Sprays.Select(spray => new ReplayedSpray(spray.Planting, spray.Product)),
        asked.Answer,
        asked.Windows.Select(one =>
            new ReplayedCover(one.Window.Planting, one.Window.OpenedAt, one.Window.Level, one.Was, one.Then, one.Answer)),
        asked.Notes);

    private static ReplayedWindow Window(ReplayResult result, InfectionWindow window) => new(
        window.Planting,
        window.Rule,
        window.OpenedAt,
        result.ClosedAt(window),
        window.Sheltered ? null : window.Level,
        window.Sheltered ? null : window.Dose,
        window.WetHours,
        window.RainMm,
        window.MeanTempC,
        window.Stage,
        window.Cover,
        window.Uncertain,
        window.NoRainGauge,
        window.Sheltered);

    private static ReplayedAlert Alert(Alert alert, AlertText text) => new(
        alert.Id,
        alert.At,
        alert.Kind,
        alert.Plantings,
        alert.Level,
        alert.Urgency,
        text.Title,
        text.Body);
}
