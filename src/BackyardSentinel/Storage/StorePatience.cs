using Microsoft.Data.Sqlite;
using Polly;
using Polly.Retry;

namespace BackyardSentinel.Storage;

/// <summary>A store that takes nothing, because the disk is full or another program holds it, is asked until it does.</summary>
internal static class StorePatience
{
    /// <summary>Makes it.</summary>
    /// <param name="time">The clock of the pauses.</param>
    /// <param name="first">The first pause; each further one is twice as long, up to 30 s.</param>
    /// <param name="onRefused">Told the reason and how many tries went before.</param>
    public static ResiliencePipeline Of(TimeProvider time, TimeSpan first, Action<string, int> onRefused) =>
        new ResiliencePipelineBuilder { TimeProvider = time }
            .AddRetry(
                new RetryStrategyOptions
                {
                    ShouldHandle = args => ValueTask.FromResult(args.Outcome.Exception is SqliteException),
                    MaxRetryAttempts = int.MaxValue,
                    BackoffType = DelayBackoffType.Exponential,
                    Delay = first,
                    MaxDelay = TimeSpan.FromSeconds(30),
                    OnRetry = args =>
                    {
                        onRefused(args.Outcome.Exception!.Message, args.AttemptNumber);
                        return ValueTask.CompletedTask;
                    },
                })
            .Build();
}
