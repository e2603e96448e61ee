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
/// <param name="startsAnew">Whether it stops to start anew at once; <c>null</c>: it never does.</param>
public sealed class Watchdog(
    ISystemdNotifier notifier,
    IReadOnlyList<(string Name, TurnWatch Turns)> tasks,
    TimeProvider time,
    ILogger log,
    Func<bool>? startsAnew = null)
{
    /// <summary>A season that is read back has as long for it as at the first start: TimeoutStartSec of the unit.</summary>
    private static readonly TimeSpan LongestStart = TimeSpan.FromMinutes(15);

    /// <summary>The longest pause between two looks; a service manager that waits for less is told sooner.</summary>
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(10);

    /// <summary>
    /// Says ready, then looks until cancelled, then says that it stops or starts anew. Does nothing where no service manager asks.
    /// </summary>
    /// <param name="watchdogUsec">What systemd gives as WATCHDOG_USEC, in microseconds; <c>null</c>: it does not watch.</param>
    /// <param name="ct">The service stops.</param>
    public async Task RunAsync(string? watchdogUsec, CancellationToken ct)
    {
        if (!notifier.IsEnabled)
            return;
        var isWatched = long.TryParse(watchdogUsec, NumberStyles.None, CultureInfo.InvariantCulture, out var usec) && usec > 0;
        notifier.Notify(ServiceState.Ready);
        if (isWatched)
            Wait(usec);
        try
        {
            using var timer = new PeriodicTimer(isWatched ? Pause(usec) : Timeout.InfiniteTimeSpan, time);
            do Look(isWatched);
            while (await timer.WaitForNextTickAsync(ct).ConfigureAwait(false));
        }
        catch (OperationCanceledException)
        {
            if (startsAnew?.Invoke() != true)
            {
                notifier.Notify(ServiceState.Stopping);
                return;
            }

            notifier.Notify(new ServiceState("RELOADING=1"));
            if (isWatched)
                Wait((long)LongestStart.TotalMicroseconds);
        }
    }

    /// <summary>The service manager shall wait so long for a word.</summary>
    private void Wait(long usec) => notifier.Notify(new ServiceState(string.Create(CultureInfo.InvariantCulture, $"WATCHDOG_USEC={usec}")));

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
