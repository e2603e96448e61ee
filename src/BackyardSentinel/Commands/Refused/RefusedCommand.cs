using System.CommandLine;
using BackyardSentinel.Configuration;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Refused;

/// <summary>The command <c>refused</c>: the messages and values that were kept aside, and why. It looks and changes nothing.</summary>
public static class RefusedCommand
{
    private const int Usual = 20;
    private const int Most = 1000;

    /// <summary>Builds the command.</summary>
    public static Command Create()
    {
        var garden = CommandRun.Garden();
        var topic = new Option<string?>("--topic") { HelpName = "TOPIC", Description = "Only this topic" };
        var limit = CommandRun.Number(
            "--limit",
            "NUMBER",
            $"How many at most, the newest first (1 to {Most}, default {Usual})",
            least: 1,
            most: Most,
            usual: Usual);
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };
        var command = new Command("refused", "What sensors sent that could not be taken, and why") { garden, topic, limit, json };
        command.SetAction(parsed =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return CommandRun.Guarded(error, () =>
            {
                return Run(
                    GardenProblemException.Read(parsed.GetValue(garden)!),
                    parsed.GetValue(topic),
                    parsed.GetValue(limit),
                    parsed.GetValue(json),
                    output);
            });
        });
        return command;
    }

    private static int Run(GardenFile garden, string? topic, int limit, bool json, TextWriter output)
    {
        var there = File.Exists(garden.Store.Path);
        List<QuarantinedMessage> all = [];
        if (there)
        {
            using var store = SentinelStore.Reading(garden.Store.Path);
            all = store.Quarantine();
        }

        all.RemoveAll(row => topic is not null && row.Topic != topic);
        all.Reverse();
        var shown = all.Take(limit).ToList();
        if (json)
            RefusedText.WriteJson(shown, all.Count, output);
        else if (!there)
            output.Write($"There is no store {garden.Store.Path} yet: the service has not run, and nothing was refused.\n");
        else
            RefusedText.Write(shown, all.Count, garden.Sites[0].Zone, FoldingWriter.For(output));
        return ExitCode.Done;
    }
}
