using System.CommandLine;
using System.CommandLine.Parsing;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Commands.Alerts;

/// <summary>
/// The command <c>alert</c>: tries the way to the phone, shows what went over it, and takes answers. The service may run meanwhile.
/// </summary>
public static class AlertCommand
{
    /// <summary>Builds the command.</summary>
    /// <param name="time">The clock.</param>
    public static Command Create(TimeProvider time) => new("alert", "The way to your phone: try it, see what was sent, answer")
    {
        Test(time), List(time), Seen(time), Later(time),
    };

    private static Command Test(TimeProvider time)
    {
        var garden = CommandRun.Garden();
        var to = new Option<string?>("--to") { HelpName = "ID", Description = "Only to this destination (default: to all of them)" };
        var dryRun = new Option<bool>("--dry-run")
        {
            Description = "Check the destinations' settings and show the message, and send nothing",
        };
        var words = new Option<bool>("--words")
        {
            Description = "Show each kind of alert in the garden's words, told of invented news, and send nothing",
        };
        var command = new Command(
            "test", "Send a test message the whole way and show each destination's answer") { garden, to, dryRun, words };
        command.Validators.Add(result =>
        {
            if (result.GetValue(words) && (result.GetResult(to) is not null || result.GetValue(dryRun)))
                result.AddError("--words sends nothing and asks no destination; leave out --to and --dry-run.");
        });
        command.SetAction((parsed, ct) => TellingAsync(parsed, output => parsed.GetValue(words)
            ? Task.FromResult(AlertExamples.Run(Read(parsed, garden), time.GetUtcNow(), output))
            : new AlertTesting(Read(parsed, garden), time, output).RunAsync(parsed.GetValue(to), parsed.GetValue(dryRun), ct)));
        return command;
    }

    private static Command List(TimeProvider time)
    {
        var garden = CommandRun.Garden();
        var all = new Option<bool>("--all") { Description = "Everything ever sent (default: what is open, and the last seven days)" };
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };
        var command = new Command("list", "Show the alerts, what became of them, and whether the way to the phone works")
        {
            garden,
            all,
            json,
        };
        command.SetAction(
            (parsed, _) =>
                TellingAsync(
                    parsed,
                    output =>
                        Task.FromResult(
                            AlertListing.Run(
                                Read(parsed, garden),
                                time.GetUtcNow(),
                                parsed.GetValue(all),
                                parsed.GetValue(json),
                                output,
                                parsed.InvocationConfiguration.Error))));
        return command;
    }

    private static Command Seen(TimeProvider time)
    {
        var garden = CommandRun.Garden();
        var which = Which();
        var command = new Command("seen", "You have seen it: you will hear no more about it unless it gets worse") { which, garden };
        command.SetAction((parsed, _) => TellingAsync(parsed, output => Task.FromResult(
            AlertAnswering.Run(Read(parsed, garden), parsed.GetValue(which)!, null, time.GetUtcNow(), output))));
        return command;
    }

    private static Command Later(TimeProvider time)
    {
        var garden = CommandRun.Garden();
        var which = Which();
        var span = new Option<TimeSpan>("--for")
        {
            HelpName = "SPAN",
            Description = "How long, such as 90m or 6h; up to 720h",
            Required = true,
            CustomParser = Span,
        };
        var command = new Command("later", "Not now: anything new about it waits until then") { which, span, garden };
        command.SetAction((parsed, _) => TellingAsync(parsed, output => Task.FromResult(
            AlertAnswering.Run(Read(parsed, garden), parsed.GetValue(which)!, parsed.GetValue(span), time.GetUtcNow(), output))));
        return command;
    }

    private static TimeSpan Span(ArgumentResult result)
    {
        if (DurationText.Parse(result.Tokens[0].Value) is { } span && span > TimeSpan.Zero && span <= AnswerPayload.LongestWait)
            return span;
        result.AddError($"--for: \"{result.Tokens[0].Value}\" is no length of time up to 720h; write 90m or 6h.");
        return default;
    }

    private static Argument<string> Which() => new("ALERT") { Description = "The alert's id or its episode, as 'alert list' shows them" };

    private static GardenFile Read(ParseResult parsed, Option<string> garden) => GardenProblemException.Read(parsed.GetValue(garden)!);

    private static Task<int> TellingAsync(ParseResult parsed, Func<TextWriter, Task<int>> action) =>
        CommandRun.GuardedAsync(parsed.InvocationConfiguration.Error, () => action(parsed.InvocationConfiguration.Output));
}
