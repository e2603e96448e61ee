using System.Net.Sockets;
using BackyardSentinel.Configuration;
using BackyardSentinel.Web.Access;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Web;

/// <summary>Serves the page until asked to stop. What goes wrong here never stops the watching.</summary>
/// <param name="settings">Where it is served.</param>
/// <param name="parts">What the page is made from.</param>
/// <param name="keys">Who is let in.</param>
/// <param name="time">The clock.</param>
/// <param name="log">Where sentences go.</param>
public sealed class PageServer(PageSettings settings, PageParts parts, PageKeys keys, TimeProvider time, ILogger log)
{
    private static readonly TimeSpan StopWithin = TimeSpan.FromSeconds(2);

    /// <summary>The TCP port on which it is served; 0 until it is.</summary>
    public int Port { get; private set; }

    /// <summary>Told the address for people once the page is served.</summary>
    public Action<Uri>? OnServed { get; init; }

    /// <summary>Runs until cancelled. A port that is taken is told, and the service goes on without a page.</summary>
    /// <param name="ct">Asks it to stop.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        WebApplication app;
        try
        {
            app = await StartAsync(ct).ConfigureAwait(false);
        }
        catch (Exception failure) when (failure is IOException or SocketException or UnauthorizedAccessException)
        {
            log.Error(
                "The page cannot be served on {Address} port {Port}: {Reason}. The garden is watched on without it; "
                    + "name another 'port' or 'listen' under 'page' in the garden file.",
                settings.Listen,
                settings.Port,
                failure.GetBaseException().Message);
            return;
        }

        await using var served = app;
        Port = PortOf(app);
        var address = HostNames.AddressOf(settings, Port);
        log.Information("The page is served at {Address}", address);
        OnServed?.Invoke(address);
        try
        {
            await Task.Delay(Timeout.InfiniteTimeSpan, time, ct).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            // Asked to stop.
        }

        using var patience = new CancellationTokenSource(StopWithin, time);
        await app.StopAsync(patience.Token).ConfigureAwait(false);
    }

    private async Task<WebApplication> StartAsync(CancellationToken ct)
    {
        try
        {
            return await StartAsync(settings.Port, ct).ConfigureAwait(false);
        }
        catch (IOException) when (settings.ElseAnyPort)
        {
            return await StartAsync(0, ct).ConfigureAwait(false);
        }
    }

    private async Task<WebApplication> StartAsync(int port, CancellationToken ct)
    {
        var app = Build(port);
        try
        {
            await app.StartAsync(ct).ConfigureAwait(false);
            return app;
        }
        catch
        {
            await app.DisposeAsync().ConfigureAwait(false);
            throw;
        }
    }

    private static int PortOf(WebApplication app) => app.Services.GetRequiredService<IServer>()
        .Features.Get<IServerAddressesFeature>()!
        .Addresses.Select(address => new Uri(address).Port)
        .First();

    private WebApplication Build(int port)
    {
        var builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions());
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = Gate.LargestBody;
            kestrel.Limits.MaxConcurrentConnections = 100;
            kestrel.Limits.MaxRequestHeadersTotalSize = 16 * 1024;
            kestrel.Limits.RequestHeadersTimeout = TimeSpan.FromSeconds(10);
            kestrel.Listen(settings.Listen, port);
        });
        builder.Services.AddRoutingCore();
        var app = builder.Build();
        new PageRoutes(parts, new Gate(settings, keys, time), time, log).Map(app);
        return app;
    }
}
