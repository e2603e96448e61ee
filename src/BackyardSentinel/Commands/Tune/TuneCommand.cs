using System.CommandLine;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Commands.Tune;

/// <summary>The command <c>tune [LOG…]</c>: a rule's limits, varied over recorded seasons and scored against scouting.</summary>
public static class TuneCommand
{
    /// <summary>What a miss costs unless told, in false alarms. Assumed: a look costs little, curl a year's leaves.</summary>
    private const double UsualMissCost = 3;

    /// <summary>Builds the command.</summary>
    public static Command Create()
    {
        var logs = new LogWishOptions("tune");
        var rule = new Option<string?>("--rule")
        {
            HelpName = "NAME",
            Description = "The rule or variant whose limits are varied (default: the one that gives the level)",
        };
        var vary = new Option<string[]>("--vary")
        {
            HelpName = "KEY",
            Description = "The limits to vary, by their keys in the garden file, or all (default: the rule's first two or three)",
            AllowMultipleArgumentsPerToken = true,
            DefaultValueFactory = _ => [],
        };
        var missCost = new Option<double>("--miss-cost")
        {
            HelpName = "NUMBER",
            Description = "What a miss costs, in false alarms (default: 3)",
            DefaultValueFactory = _ => UsualMissCost,
            CustomParser = result =>
            {
                var text = result.Tokens[0].Value;
                if (NumberReader.Read(text) is { Outcome: NumberOutcome.Number, Value: >= 0.01 and <= 1000 and var cost })
                    return cost;
                result.AddError($"--miss-cost: \"{text}\" is not a number from 0.01 to 1000.");
                return UsualMissCost;
            },
        };
        var level = new Option<string>("--level")
        {
            Description = "Count only windows that come to this level: possible, likely or severe",
            DefaultValueFactory = _ => Level.Possible.Word(),
        };
        level.AcceptOnlyFromAmong(Level.Possible.Word(), Level.Likely.Word(), Level.Severe.Word());
        var drawing = new Option<string?>("--drawing")
        {
            HelpName = "FILE",
            Description = "Write a drawing of the trade-off to this file, as SVG",
        };
        var keep = new Option<bool>("--keep") { Description = "Keep the result beside the store, for the page and the report" };
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };

        var command = new Command("tune", "Vary a rule's limits over your logs, and score them against your scouting");
        logs.AddTo(command);
        foreach (var option in new Option[] { rule, vary, missCost, level, drawing, keep, json })
            command.Add(option);
        command.SetAction(parsed => CommandRun.Guarded(parsed.InvocationConfiguration.Error, () =>
        {
            var wish = logs.Read(parsed);
            var chosen = new TuneChoice(
                parsed.GetValue(rule) ?? wish.Site.LevelRule,
                [.. parsed.GetValue(vary)!.SelectMany(text => text.Split(',', StringSplitOptions.RemoveEmptyEntries))],
                parsed.GetValue(missCost),
                new[] { Level.Possible, Level.Likely, Level.Severe }.First(one => one.Word() == parsed.GetValue(level)));
            var result = TuneResult.Of(wish, chosen, parsed.InvocationConfiguration.Error);
            foreach (var note in wish.Notes)
                parsed.InvocationConfiguration.Error.WriteLine(note);
            if (parsed.GetValue(json))
                TuneJson.Write(result, parsed.InvocationConfiguration.Output);
            else
                TuneText.Write(result, FoldingWriter.For(parsed.InvocationConfiguration.Output));
            // What was found in many minutes is told before a file that cannot be written ends the command.
            if (parsed.GetValue(drawing) is { } file)
                TuneDrawing.Write(result, file);
            if (parsed.GetValue(keep))
                TuneJson.Keep(result);
            return result.Findings.Count > 0 ? ExitCode.Findings : ExitCode.Done;
        }));
        return command;
    }
}
