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
    /// <param name="onRefused">Told the reason, once an hour while it lasts, and another one at once.</param>
    /// <param name="onTaken">Told when what was told is over.</param>
    /// <param name="turns">Turned while the store is asked again: who waits for a disk does not hang.</param>
    public static ResiliencePipeline Of(
        TimeProvider time,
        TimeSpan first,
        Action<string> onRefused,
        Action onTaken,
        TurnWatch? turns = null)
    {
        (string Reason, long At)? said = null;
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
                        if (said is not { } before || before.Reason != reason || time.GetElapsedTime(before.At) >= Quiet)
                        {
                            (said, isTold) = ((reason, time.GetTimestamp()), true);
                            onRefused(reason);
                        }

                        return ValueTask.CompletedTask;
                    },
                })
            .Build();
    }
}
