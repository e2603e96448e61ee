using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Guards;

/// <summary>
/// Keeps something running beside the judgement of the garden: what fails in it is reported, and it begins again after a pause,
/// longer each time that it fails soon again.
/// </summary>
public static class KeptRunning
{
    private static readonly TimeSpan FirstPause = TimeSpan.FromMinutes(1), LongestPause = TimeSpan.FromHours(1);

    /// <summary>Runs several side by side.</summary>
    /// <param name="all">What they are, each as the beginning of a sentence, and what runs them.</param>
    /// <param name="time">The clock of the pauses.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="concernsAll">A failure that ends all of them, and is thrown.</param>
    /// <param name="ct">Asks them to end.</param>
    public static async Task RunAllAsync(
        IEnumerable<(string Name, Func<CancellationToken, Task> Run)> all,
        TimeProvider time,
        ILogger log,
        Func<Exception, bool> concernsAll,
        CancellationToken ct)
    {
        using var end = CancellationTokenSource.CreateLinkedTokenSource(ct);
        await Task.WhenAll(all.Select(one => OneAsync(one.Name, one.Run))).ConfigureAwait(false);

        async Task OneAsync(string name, Func<CancellationToken, Task> run)
        {
            try
            {
                await RunAsync(name, run, time, log, concernsAll, end.Token).ConfigureAwait(false);
            }
            catch
            {
                await end.CancelAsync().ConfigureAwait(false);
                throw;
            }
        }
    }

    /// <summary>Runs it until it ends by itself, or is asked to.</summary>
    /// <param name="name">What it is, as the beginning of a sentence.</param>
    /// <param name="run">Runs it once; it may be run again after it failed.</param>
    /// <param name="time">The clock of the pauses.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="concernsAll">A failure that is not its own matter, and is thrown.</param>
    /// <param name="ct">Asks it to end.</param>
    public static async Task RunAsync(
        string name,
        Func<CancellationToken, Task> run,
        TimeProvider time,
        ILogger log,
        Func<Exception, bool> concernsAll,
        CancellationToken ct)
    {
        for (var pause = FirstPause; ; pause = pause * 2 < LongestPause ? pause * 2 : LongestPause)
        {
            var began = time.GetTimestamp();
            try
            {
                await run(ct).ConfigureAwait(false);
                return;
            }
#pragma warning disable CA1031 // whatever it is, the garden is watched on
            catch (Exception failure) when (!concernsAll(failure))
#pragma warning restore CA1031
            {
                if (ct.IsCancellationRequested)
                    return; // Stopping is no failure.
                if (time.GetElapsedTime(began) > LongestPause)
                    pause = FirstPause;
                log.Error(
                    failure,
                    "{Name} has stopped: {Reason} The garden is watched on; it begins again in {Minutes} min.",
                    name,
                    failure.Message.TrimEnd('.') + ".",
                    pause.TotalMinutes);
            }

            await Task.Delay(pause, time, ct).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            if (ct.IsCancellationRequested)
                return;
        }
    }
}
