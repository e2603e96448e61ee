using BackyardSentinel.Guards;
using Microsoft.Data.Sqlite;
using Polly;
using Polly.Retry;

namespace BackyardSentinel.Storage;

/// <summary>
/// A store that takes nothing, because the disk is full or another program holds it, is asked until it does. One that is damaged is not.
/// </summary>
internal static class StorePatience
{
    /// <summary>A trouble that lasts is told so often.</summary>
    private static readonly TimeSpan Quiet = TimeSpan.FromHours(1);

    /// <summary>Makes it.</summary>
    /// <param name="time">The clock of the pauses.</param>
    /// <param name="first">The first pause; each further one is twice as long, up to 30 s.</param>
    /// <param name="onRefused">Told each reason, once an hour while it lasts.</param>
    /// <param name="onTaken">Told when what was told is over.</param>
    /// <param name="turns">Turned while the store is asked again: who waits for a disk does not hang.</param>
    public static ResiliencePipeline Of(
        TimeProvider time,
        TimeSpan first,
        Action<string> onRefused,
        Action onTaken,
        TurnWatch? turns = null)
    {
        var said = new Dictionary<string, long>(StringComparer.Ordinal);
        var isTold = false;
        return new ResiliencePipelineBuilder { TimeProvider = time }
            .AddRetry(
                new RetryStrategyOptions
                {
                    ShouldHandle = args =>
                    {
                        if (isTold && args.Outcome.Exception is null)
                        {
                            isTold = false;
                            onTaken();
                        }

                        return ValueTask.FromResult(
                            args.Outcome.Exception is SqliteException failure && !StoreRefusal.IsSpoilt(failure));
                    },
                    MaxRetryAttempts = int.MaxValue,
                    BackoffType = DelayBackoffType.Exponential,
                    Delay = first,
                    MaxDelay = TimeSpan.FromSeconds(30),
                    OnRetry = args =>
                    {
                        turns?.Turn(args.RetryDelay);
                        var reason = args.Outcome.Exception!.Message;
                        if (!said.TryGetValue(reason, out var before) || time.GetElapsedTime(before) >= Quiet)
                        {
                            (said[reason], isTold) = (time.GetTimestamp(), true);
                            onRefused(reason);
                        }

                        return ValueTask.CompletedTask;
                    },
                })
            .Build();
    }
}
