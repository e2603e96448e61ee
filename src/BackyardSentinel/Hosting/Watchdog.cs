using System.Globalization;
using BackyardSentinel.Guards;
using Microsoft.Extensions.Hosting.Systemd;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>
/// Tells the service manager (systemd) that the service is ready, that it works, and that it stops. It works while each of its
/// tasks turns; when one hangs or has ended, the service manager is asked to start the service again.
/// </summary>
/// <param name="notifier">The way to the service manager.</param>
/// <param name="tasks">What must turn: its name for the log, and its watch; one that has ended turns no more, either.</param>
/// <param name="time">The clock.</param>
/// <param name="log">Where sentences go.</param>
public sealed class Watchdog(
    ISystemdNotifier notifier, IReadOnlyList<(string Name, TurnWatch Turns)> tasks, TimeProvider time, ILogger log)
{
    /// <summary>The longest pause between two looks; a service manager that waits for less is told sooner.</summary>
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(10);

    /// <summary>Says ready, then looks until cancelled, then says that it stops. Does nothing where no service manager asks.</summary>
    /// <param name="watchdogUsec">What systemd gives as WATCHDOG_USEC, in microseconds; <c>null</c>: it does not watch.</param>
    /// <param name="ct">The service stops.</param>
    public async Task RunAsync(string? watchdogUsec, CancellationToken ct)
    {
        if (!notifier.IsEnabled)
            return;
        notifier.Notify(ServiceState.Ready);
        var isWatched = long.TryParse(watchdogUsec, NumberStyles.None, CultureInfo.InvariantCulture, out var usec) && usec > 0;
        try
        {
            using var timer = new PeriodicTimer(isWatched ? Pause(usec) : Timeout.InfiniteTimeSpan, time);
            do Look(isWatched);
            while (await timer.WaitForNextTickAsync(ct).ConfigureAwait(false));
        }
        catch (OperationCanceledException)
        {
            notifier.Notify(ServiceState.Stopping);
        }
    }

    private static TimeSpan Pause(long usec) =>
        TimeSpan.FromMicroseconds(usec) / 3 is var third && third < LongestPause ? third : LongestPause;

    private void Look(bool isWatched)
    {
        if (!isWatched)
            return;
        if (tasks.Where(task => task.Turns.IsLate).Select(task => task.Name).FirstOrDefault() is { } hanging)
            log.Error("{Task} hangs. The service manager is asked to start the service again.", hanging);
        else
            notifier.Notify(new ServiceState("WATCHDOG=1"));
    }
}
