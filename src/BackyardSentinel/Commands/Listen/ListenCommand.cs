using System.CommandLine;
using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Hosting;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Proposing;

namespace BackyardSentinel.Commands.Listen;

/// <summary>The command <c>listen</c>: hears what sensors send and proposes series for the garden file. It changes nothing.</summary>
public static class ListenCommand
{
    private static readonly TimeSpan Usual = TimeSpan.FromSeconds(60), Longest = TimeSpan.FromHours(24);

    /// <summary>Builds the command.</summary>
    /// <param name="time">The clock.</param>
    public static Command Create(TimeProvider time)
    {
        var garden = CommandRun.Garden();
        var broker = new Option<string?>("--broker")
        {
            HelpName = "HOST:PORT",
            Description = "Another broker than the garden file's; the port may be left out",
        };
        var length = new Option<TimeSpan>("--for")
        {
            HelpName = "TIME",
            Description = "How long to listen: 1s to 24h, default 60s. Sensors that sleep longer are not heard",
            DefaultValueFactory = _ => Usual,
            CustomParser = result =>
            {
                if (DurationText.Parse(result.Tokens[0].Value) is { } span && span >= TimeSpan.FromSeconds(1) && span <= Longest)
                    return span;
                result.AddError($"--for: \"{result.Tokens[0].Value}\" is not a time from 1s to 24h, such as 90s, 10m or 1h30m.");
                return Usual;
            },
        };
        var topic = new Option<string?>("--topic")
        {
            HelpName = "FILTER",
            Description = "Only these topics, with + and # as wildcards; with --payload: the message's topic",
        };
        var payload = new Option<string?>("--payload")
        {
            HelpName = "TEXT",
            Description = "Do not listen: show what this one message gives",
        };
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };
        var command = new Command("listen", "Hear what sensors send, and propose series for the garden file")
        {
            garden, broker, length, topic, payload, json,
        };
        command.SetAction(async (parsed, ct) =>
        {
            var (output, error) = (parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error);
            return await CommandRun.GuardedAsync(error, async () =>
            {
                var path = parsed.GetValue(garden)!;
                // Whoever has no garden file yet is whom this command is for.
                var isNamed = parsed.GetResult(garden) is { Implicit: false };
                var file = isNamed || File.Exists(path) ? GardenProblemException.Read(path) : null;
                var visited = BrokerOf(file, parsed.GetValue(broker));
                var hearing = new HeardMessages(OwnTopicsOf(file));
                ListenResult result;
                if (parsed.GetValue(payload) is { } text)
                {
                    var message = Encoding.UTF8.GetBytes(text);
                    if (parsed.GetValue(topic)?.AsSpan().ContainsAny('+', '#') == true)
                        throw new CommandProblemException(
                            $"--topic: with --payload it is the message's own topic, and \"{parsed.GetValue(topic)}\" has a wildcard.");
                    result = ListenResult.OfMessage(file, hearing, parsed.GetValue(topic), message, time.GetUtcNow());
                }
                else
                {
                    var filter = Filter(parsed.GetValue(topic));
                    await ListenAsync(visited, filter, parsed.GetValue(length), hearing, time, error, ct).ConfigureAwait(false);
                    result = ListenResult.Of(
                        file, hearing, $"{visited.Host}:{visited.Port.ToString(CultureInfo.InvariantCulture)}", parsed.GetValue(length));
                }

                if (parsed.GetValue(json))
                    ListenJson.Write(result, output);
                else
                    ListenText.Write(result, output);
                return ExitCode.Done;
            }).ConfigureAwait(false);
        });
        return command;
    }

    /// <summary>Hears what comes for a time, until Ctrl-C ends it sooner.</summary>
    /// <exception cref="LinkException">The broker cannot be reached; the message says why.</exception>
    internal static async Task ListenAsync(
        BrokerOptions broker, string filter, TimeSpan length, HeardMessages hearing, TimeProvider time, TextWriter error,
        CancellationToken ct)
    {
        await error
            .WriteLineAsync(
                $"Listening to {broker.Host}:{broker.Port.ToString(CultureInfo.InvariantCulture)} for "
                    + $"{ListenText.Span(length)}; Ctrl-C ends it sooner.")
            .ConfigureAwait(false);
        using var end = new CancellationTokenSource();
        using var signal = PosixSignalRegistration.Create(PosixSignal.SIGINT, context =>
        {
            context.Cancel = true;
            end.Cancel();
        });
        var gate = new Lock();
        var refused = await new BrokerVisit(broker)
            .HearAsync(
                [filter],
                length,
                (topic, message, retained, _) =>
                {
                    lock (gate) hearing.Take(topic, message, retained, time.GetUtcNow());
                },
                end.Token,
                ct)
            .ConfigureAwait(false);
        foreach (var sentence in refused)
            await error.WriteLineAsync(sentence.Text).ConfigureAwait(false);
    }

    private static string Filter(string? filter)
    {
        if (filter is null)
            return "#";
        var levels = filter.Split('/');
        var isWrong = filter.Length == 0
            || levels.Where((level, i) => level.Contains('#', StringComparison.Ordinal) && (level != "#" || i < levels.Length - 1)).Any()
            || levels.Any(level => level.Contains('+', StringComparison.Ordinal) && level != "+");
        return isWrong
            ? throw new CommandProblemException(
                $"--topic: \"{filter}\" is no topic filter: + stands for one whole level between slashes, "
                    + "# for all that follow and is last.")
            : filter;
    }

    private static BrokerOptions BrokerOf(GardenFile? garden, string? named)
    {
        // A name of its own for each run, so that two of them do not throw each other out.
        var id = "listen-" + Guid.NewGuid().ToString("N")[..8];
        BrokerOptions options = new();
        if (garden is not null)
            options = GardenWiring.Broker(garden, out var reason) ?? throw new WiringProblemException(reason!.Text);
        if (named is not null)
            options = BrokerAddress.Read(named, options, out var fault) ?? throw new CommandProblemException($"--broker: {fault}.");
        return options with { ClientId = id };
    }

    private static OwnTopics OwnTopicsOf(GardenFile? garden) => new(garden?.Broker ?? new BrokerOptions(), garden?.Sites ?? []);
}
