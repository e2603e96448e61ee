using System.CommandLine;
using BackyardSentinel.Demo;
using BackyardSentinel.Hosting;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Storage;
using Serilog;
using Serilog.Events;

namespace BackyardSentinel.Commands.Run;

/// <summary>The command <c>run</c>: the service, or the demo of it.</summary>
public static class RunCommand
{
    /// <summary>Builds the command.</summary>
    /// <param name="verbose">The option that asks for more words.</param>
    public static Command Create(Option<bool> verbose)
    {
        var garden = CommandRun.Garden();
        var demo = new Option<bool>("--demo") { Description = "Watch an invented garden through a broker inside the program" };
        var demoSeconds = CommandRun.Number(
            "--demo-seconds",
            "SECONDS",
            "How long the demo's season takes, 5 to 86400 seconds",
            least: 5,
            most: 86_400,
            usual: 120);
        var virtualTime = new Option<bool>("--time-from-readings")
        {
            Description = "The readings' own times are the clock: for feeding a recorded log through a broker",
        };
        var command = new Command("run", "Watch the garden: listen to its sensors, judge, publish levels")
        {
            garden,
            demo,
            demoSeconds,
            virtualTime,
        };
        command.Validators.Add(result =>
        {
            if (!result.GetValue(demo) && result.GetResult(demoSeconds) is { Implicit: false })
                result.AddError("--demo-seconds says how long the demo takes; add --demo.");
            if (result.GetValue(demo) && result.GetResult(virtualTime) is { Implicit: false })
                result.AddError("--time-from-readings is for a garden of yours; --demo has a clock of its own.");
        });
        command.SetAction(
            async (parsed, ct) =>
            {
                var chatty = parsed.GetValue(verbose);
                await using var log = CreateLog(chatty, quiet: parsed.GetValue(demo) && !chatty);
                return await CommandRun.GuardedAsync(Console.Error, async () =>
                    parsed.GetValue(demo)
                        ? await DemoAsync(TimeSpan.FromSeconds(parsed.GetValue(demoSeconds)), log).ConfigureAwait(false)
                        : await WatchAsync(parsed.GetValue(garden)!, parsed.GetValue(virtualTime), log).ConfigureAwait(false))
                    .ConfigureAwait(false);
            });
        return command;
    }

    private static async Task<int> WatchAsync(string path, bool virtualTime, Serilog.Core.Logger log)
    {
        await using var run = new GardenRun(path, virtualTime, log);
        await run.RunAsync().ConfigureAwait(false);
        return ExitCode.Done;
    }

    private static async Task<int> DemoAsync(TimeSpan fastTime, Serilog.Core.Logger log)
    {
        var folder = Directory.CreateTempSubdirectory("backyard-sentinel-demo-");
        try
        {
            await using var embedded = await EmbeddedBroker.StartAsync().ConfigureAwait(false);
            var garden = DemoGarden.Create(embedded.Port, Path.Combine(folder.FullName, "demo.db"));
            var broker = GardenWiring.Broker(garden, out _)!;
            using (var book = JournalBook.Open(garden.Store.Path))
            {
                foreach (var entry in DemoGarden.Journal)
                    book.Add(entry, DemoWeather.Begin);
            }

            DemoText.Begin(FoldingWriter.For(Console.Out), embedded.Port, fastTime);
            var narrator = new Narrator(FoldingWriter.For(Console.Out));
            var weather = $"{broker.TopicRoot}/{garden.Sites[0].Id}/weather";
            var hub = new DemoHub(embedded.Port, broker.StateTopic, weather, fastTime, TimeProvider.System);
            await ServiceHost.RunAsync(
                    new WatchService(
                        garden,
                        broker,
                        TimeProvider.System,
                        log,
                        narrator.Tell,
                        new ServiceOptions(
                            ClockFromReadings: true,
                            message => narrator.Tell(message, garden.Sites[0].Zone),
                            invitation => Console.Out.Write($"The page of this garden: {invitation.Address}\n\n"))),
                    ct => hub.RunAsync(() => DemoText.End(FoldingWriter.For(Console.Out), narrator, embedded.Port), ct),
                    log)
                .ConfigureAwait(false);
            return ExitCode.Done;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    // The host's own words about a service that ended repeat, without the reason, what the command says itself.
    private static Serilog.Core.Logger CreateLog(bool verbose, bool quiet) =>
        new LoggerConfiguration()
            .Filter.ByExcluding(line => !verbose && Serilog.Filters.Matching.FromSource("Microsoft.Extensions.Hosting")(line))
            .MinimumLevel.Is(
                verbose ? LogEventLevel.Debug
                : quiet ? LogEventLevel.Warning
                : LogEventLevel.Information)
            .MinimumLevel.Override("Microsoft", LevelAlias.Off) // The host's own words; failures are told in ours.
            .WriteTo.Console(
                outputTemplate: verbose
                    ? "{Timestamp:HH:mm:ss} {Level:u3} {Message:lj}{NewLine}{Exception}"
                    : "{Timestamp:HH:mm:ss} {Level:u3} {Message:lj}{NewLine}",
                standardErrorFromLevel: LogEventLevel.Verbose,
                formatProvider: System.Globalization.CultureInfo.InvariantCulture)
            .CreateLogger();
}
