using System.CommandLine;
using System.Net;
using BackyardSentinel.Commands.Alerts;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Delivery;
using BackyardSentinel.Guards;
using BackyardSentinel.Web.Access;

namespace BackyardSentinel.Commands.SetUp;

/// <summary>The command <c>set-up</c>: from nothing to a garden file, by asking and by listening to the sensors.</summary>
public static class SetUpCommand
{
    /// <summary>Builds the command.</summary>
    /// <param name="time">The clock.</param>
    /// <param name="input">Where answers come from.</param>
    public static Command Create(TimeProvider time, TextReader input)
    {
        var garden = new Option<string>("--garden")
        {
            HelpName = "FILE",
            Description = "The garden file to write",
            DefaultValueFactory = _ =>
                Directory.Exists(Path.GetDirectoryName(CommandRun.InstalledGarden)) ? CommandRun.InstalledGarden : "my-garden.yaml",
        };
        var command = new Command("set-up", "Make a garden file by asking, and by listening to your sensors") { garden };
        command.SetAction(async (parsed, ct) =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return await CommandRun.GuardedAsync(
                    error,
                    () => RunAsync(parsed.GetValue(garden)!, new Dialogue(input, output), output, error, time, ct))
                .ConfigureAwait(false);
        });
        return command;
    }

    private static async Task<int> RunAsync(
        string path, Dialogue dialogue, TextWriter output, TextWriter error, TimeProvider time, CancellationToken ct)
    {
        var files = new SetUpFiles(path);
        files.Try();
        dialogue.Say($"An empty answer takes what stands in brackets. In the end {path} is written; until then nothing is changed.");
        if (File.Exists(path) && !dialogue.Ask($"There is a garden in {path}. Write a new one, and keep the old one beside it?", false))
        {
            dialogue.Say("Nothing was changed.");
            return ExitCode.Done;
        }

        var plan = PlaceQuestions.Ask(dialogue) with { Secrets = files.Secrets };
        plan = await new SensorQuestions(dialogue, error, time, files.Keep).AskAsync(plan, ct).ConfigureAwait(false);
        plan = AskPhone(plan, dialogue, files);
        plan = plan with
        {
            PageIsLocal = dialogue.Ask(
                "Who may see the page: all in the home network who have its key, or this computer alone?",
                "network",
                ["network", "computer"]) == "computer",
        };
        foreach (var line in files.Write(plan.Text()))
            dialogue.Say(line);
        var (written, problems) = GardenFileReader.Read(path);
        ProblemRenderer.Write(problems, error);
        if (written is null)
            throw new CommandProblemException($"{path} needs a word of yours before it can be used; 'check' tells what is wrong.");
        if (dialogue.Ask("Send a test message now?", true))
            await new AlertTesting(written, time, output).RunAsync(null, false, ct).ConfigureAwait(false);
        if (written.Page is { } page)
            dialogue.Say(
                $"The page will be at {HostNames.AddressOf(page, page.Port)}"
                    + (page.IsLocal ? "" : "; 'backyard-sentinel page' shows its key once it runs"));
        dialogue.Say(
            path == CommandRun.InstalledGarden
                ? "Now start it:      sudo systemctl restart backyard-sentinel\nand look it over:  backyard-sentinel examine"
                : $"Now start it:      backyard-sentinel run --garden {path}\n"
                    + $"and look it over:  backyard-sentinel examine --garden {path}");
        return ExitCode.Done;
    }

    private static GardenPlan AskPhone(GardenPlan plan, Dialogue dialogue, SetUpFiles files)
    {
        dialogue.Say(
            "Alerts go to an address that is fetched (a webhook), such as a push service for phones gives you, or to a topic.");
        var address = dialogue.AskText("That address, or none for the topic?", "none", FaultOfAddress, isSecret: true);
        if (address is null)
            return plan;
        files.Keep(plan.AddressFile, address);
        var isPrivate = IPAddress.TryParse(new Uri(address).Host.Trim('[', ']'), out var ip) && !PublicAddress.IsPublic(ip);
        isPrivate = isPrivate && dialogue.Ask("It lies in your own network. Is that meant?", true);
        var takes = dialogue.Ask("Does it take plain text, as many of those for phones do, or a JSON body?", "text", ["text", "json"]);
        return plan with
        {
            HasAddress = true,
            AddressIsPrivate = isPrivate,
            Content = takes == "text" ? WebhookContent.Text : WebhookContent.Standard,
        };
    }

    /// <summary>The address holds a key and is not said again.</summary>
    private static string? FaultOfAddress(string answer) =>
        Uri.TryCreate(answer, UriKind.Absolute, out var uri) && uri is { Scheme: "http" or "https" } && uri.Host.Length > 0
            ? null
            : "That is no address that begins with https:// or http://";
}
