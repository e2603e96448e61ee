using BackyardSentinel.Hosting;
using Serilog;

namespace BackyardSentinel.Commands.Run;

/// <summary>Runs a service under the generic host.</summary>
internal static class ServiceHost
{
    private static readonly TimeSpan StopWithin = TimeSpan.FromSeconds(5);

    /// <summary>Runs the service under the generic host, which ends it at Ctrl-C or SIGTERM; a second one ends it at once.</summary>
    /// <param name="service">The service.</param>
    /// <param name="beside">What runs beside it, if anything.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="stop">Ends it as well.</param>
    /// <returns>Such a signal came.</returns>
    public static async Task<bool> RunAsync(
        WatchService service, Func<CancellationToken, Task>? beside, Serilog.Core.Logger log, CancellationToken stop = default)
    {
        var builder = Host.CreateEmptyApplicationBuilder(new HostApplicationBuilderSettings());
        builder.Services.AddSerilog(log);
        builder.Services.Configure<HostOptions>(options => options.ShutdownTimeout = StopWithin);
        builder.Services.AddSingleton(services => new StopSignals(services.GetRequiredService<IHostApplicationLifetime>(), log));
        builder.Services.AddSingleton<IHostLifetime>(services => services.GetRequiredService<StopSignals>());
        builder.Services.AddHostedService(_ => service);
        using var host = builder.Build();
        var lifetime = host.Services.GetRequiredService<IHostApplicationLifetime>();
        var (stopping, signals) = (lifetime.ApplicationStopping, host.Services.GetRequiredService<StopSignals>());
        await using var stopped = stop.Register(lifetime.StopApplication).ConfigureAwait(false);
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

        return signals.Asked;
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
}
