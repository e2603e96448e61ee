using System.Runtime.InteropServices;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>
/// Ends the host at Ctrl-C or SIGTERM. From then on the signals are left to the system, so that a second one ends the program at once,
/// whatever it waits for: what has not been acknowledged comes again from the broker.
/// </summary>
/// <param name="lifetime">Is told to stop.</param>
/// <param name="log">Where sentences go.</param>
internal sealed class StopSignals(IHostApplicationLifetime lifetime, ILogger log) : IHostLifetime, IDisposable
{
    private PosixSignalRegistration[] _heard = [];
    private volatile bool _asked;

    /// <summary>Such a signal came.</summary>
    public bool Asked => _asked;

    /// <inheritdoc/>
    public Task WaitForStartAsync(CancellationToken cancellationToken)
    {
        _heard =
        [
            .. new[] { PosixSignal.SIGINT, PosixSignal.SIGQUIT, PosixSignal.SIGTERM }
                .Select(signal => PosixSignalRegistration.Create(signal, Stop)),
        ];
        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    /// <inheritdoc/>
    public void Dispose()
    {
        foreach (var one in _heard)
            one.Dispose();
    }

    private void Stop(PosixSignalContext context)
    {
        context.Cancel = true;
        _asked = true;
        Dispose();
        log.Debug("Asked to stop by {Signal}.", context.Signal);
        lifetime.StopApplication();
    }
}
