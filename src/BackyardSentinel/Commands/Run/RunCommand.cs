using System.CommandLine;
using BackyardSentinel.Commands.Examine;
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
    private static readonly TimeSpan StopWithin = TimeSpan.FromSeconds(5);

    /// <summary>So many sites are told one by one at the start; of an association's hundreds the number is enough.</summary>
    private const int MostTold = 20;

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
        var garden = GardenProblemException.Read(path);
        if (GardenWiring.Broker(garden, out var reason) is not { } broker)
        {
            Console.Error.WriteLine(reason);
            return ExitCode.BadConfiguration;
        }

        await using var embedded = garden.Broker.Embedded
            ? await EmbeddedBroker.StartAsync(broker, log).ConfigureAwait(false)
            : null;
        log.Information(
            "{Garden}: {Sites}, readings kept in {Store}",
            garden.Name,
            garden.Sites.Count == 1 ? "1 site" : FormattableString.Invariant($"{garden.Sites.Count} sites"),
            garden.Store.Path);
        foreach (var site in garden.Sites.Take(MostTold))
        {
            log.Information(
                "{Site}: watching {Plantings} by {Topics}",
                site.Id,
                string.Join(", ", site.Plantings.Select(planting => planting.Id)),
                string.Join(", ", garden.SeriesOf(site.Id).Select(series => series.Topic).Distinct()));
        }

        var narrator = new Narrator(FoldingWriter.For(Console.Out), sends: garden.Alerts.Receivers.Count > 0 && !virtualTime);
        await HostAsync(
                new WatchService(
                    garden,
                    broker,
                    virtualTime,
                    TimeProvider.System,
                    log,
                    narrator.Tell,
                    garden.Alerts.Receivers.Count > 0 && !virtualTime ? message => narrator.Tell(message, garden.Sites[0].Zone) : null,
                    invitation => invitation.Write(Console.Out, withKeys: invitation.Keys is { AreNew: true }),
                    ct => Examination.ForPageAsync(path, garden, TimeProvider.System, ct)),
                null,
                log)
            .ConfigureAwait(false);
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
            await HostAsync(
                    new WatchService(
                        garden,
                        broker,
                        clockFromReadings: true,
                        TimeProvider.System,
                        log,
                        narrator.Tell,
                        message => narrator.Tell(message, garden.Sites[0].Zone),
                        invitation => Console.Out.Write($"The page of this garden: {invitation.Address}\n\n")),
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

    /// <summary>Runs the service under the generic host, which ends it at Ctrl-C or SIGTERM; a second one ends it at once.</summary>
    private static async Task HostAsync(WatchService service, Func<CancellationToken, Task>? beside, Serilog.Core.Logger log)
    {
        var builder = Host.CreateEmptyApplicationBuilder(new HostApplicationBuilderSettings());
        builder.Services.AddSerilog(log);
        builder.Services.Configure<HostOptions>(options => options.ShutdownTimeout = StopWithin);
        builder.Services.AddSingleton<IHostLifetime>(
            services => new StopSignals(services.GetRequiredService<IHostApplicationLifetime>(), log));
        builder.Services.AddHostedService(_ => service);
        using var host = builder.Build();
        var stopping = host.Services.GetRequiredService<IHostApplicationLifetime>().ApplicationStopping;
        try
        {
            await host.StartAsync(CancellationToken.None).ConfigureAwait(false);
            var other = beside is null ? Task.CompletedTask : Quietly(beside(stopping), log);
            await host.WaitForShutdownAsync(CancellationToken.None).ConfigureAwait(false);
            await other.ConfigureAwait(false);
            if (service.ExecuteTask is { } task)
                await task.ConfigureAwait(false); // A failure of the service is the command's failure.
        }
        catch (OperationCanceledException) when (stopping.IsCancellationRequested)
        {
            // Asked to stop before it had begun, while it read the season back.
        }
    }

    private static async Task Quietly(Task task, Serilog.Core.Logger log)
    {
        try
        {
            await task.ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            // Asked to stop.
        }
        catch (MQTTnet.Exceptions.MqttCommunicationException problem)
        {
            log.Debug(problem, "The demo's hub lost its broker");
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
