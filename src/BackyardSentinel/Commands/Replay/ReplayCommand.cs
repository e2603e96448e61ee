using System.CommandLine;
using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Logs;

namespace BackyardSentinel.Commands.Replay;

/// <summary>The command <c>replay LOG…</c>.</summary>
public static class ReplayCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create()
    {
        var (logs, whatIf) = (new LogWishOptions("replay"), new WhatIfOptions());
        var compare = new Option<bool>("--compare")
        {
            Description = "Set the rules and your own variants side by side: where they part, and why",
        };
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };
        var csv = new Option<bool>("--csv") { Description = "Print the infection windows as CSV" };

        var command = new Command("replay", "Judge recorded sensor logs: wet spells, infection windows, levels");
        logs.AddTo(command);
        command.Add(json);
        command.Add(csv);
        command.Add(compare);
        foreach (var option in whatIf.All)
            command.Add(option);
        command.SetAction(parsed => CommandRun.Guarded(parsed.InvocationConfiguration.Error, () =>
        {
            if (parsed.GetValue(json) && parsed.GetValue(csv))
                throw new LogProblemException("--json and --csv exclude each other; choose one.");
            var wish = logs.Read(parsed);
            var move = whatIf.Read(parsed, wish.Garden, wish.Site, wish.Journal);
            if (move is not null && parsed.GetValue(csv))
                throw new LogProblemException("--if-sprayed and --csv exclude each other: the answer is in the text and in --json.");
            if (parsed.GetValue(compare) && parsed.GetValue(csv))
                throw new LogProblemException("--compare and --csv exclude each other: the comparison is in the text and in --json.");
            if (move is not null)
                wish = wish with { Journal = wish.Journal ?? [] };
            var say = parsed.GetValue(json) ? wish.Words() : null;
            var result = wish.Judge();
            if (move is not null)
                result = result with { If = WhatIfAnswer.Of(move, result, wish.Judge(wish.Site, move.Journal)) };
            if (parsed.GetValue(compare))
                result = result.Compare(wish.Journal);
            foreach (var note in wish.Notes.Concat(result.Notes))
                parsed.InvocationConfiguration.Error.WriteLine(note);
            return Print(
                result with { Findings = [.. wish.Findings, .. result.Findings] },
                wish.Findings.Count > 0,
                parsed.GetValue(json),
                parsed.GetValue(csv),
                say,
                parsed.InvocationConfiguration.Output);
        }));
        return command;
    }

    private static int Print(ReplayResult result, bool hasFindings, bool json, bool csv, Func<Alert, AlertText>? say, TextWriter text)
    {
        if (json)
        {
            using var output = Console.OpenStandardOutput();
            ReplayJson.Write(result, output, say);
        }
        else
        {
            if (csv)
            {
                using var output = new StreamWriter(Console.OpenStandardOutput());
                ReplayCsv.Write(result, output);
            }
            else
            {
                ReplayText.Write(result, FoldingWriter.For(text));
            }
        }

        if (result.RejectedCount > 0 && (json || csv))
            Console.Error.WriteLine($"{result.RejectedCount} rows or values were not taken; --json lists them with their reasons.");
        return result.RejectedCount > 0 || hasFindings || result.Doubts.Count > 0 || result.End is null
            ? ExitCode.Findings
            : ExitCode.Done;
    }
}
