using System.Collections.Concurrent;

namespace BackyardSentinel.Live;

/// <summary>Questions about the garden, put by any thread and answered by the loop's.</summary>
internal sealed class Questions
{
    private readonly ConcurrentQueue<Action<GardenNow>> _open = new();

    /// <summary>Puts a question.</summary>
    public Task<T> Put<T>(Func<GardenNow, T> question, CancellationToken ct)
    {
        // Whoever asked must not go on with his work on the loop's thread.
        var answer = new TaskCompletionSource<T>(TaskCreationOptions.RunContinuationsAsynchronously);
        _open.Enqueue(now =>
        {
            if (answer.Task.IsCompleted)
                return; // Nobody waits for it any longer.
            try
            {
                answer.TrySetResult(question(now));
            }
#pragma warning disable CA1031 // what fails in a question is the asker's trouble, never the loop's
            catch (Exception failure)
#pragma warning restore CA1031
            {
                answer.TrySetException(failure);
            }
        });
        if (!ct.CanBeCanceled)
            return answer.Task;
        var given = ct.Register(() => answer.TrySetCanceled(ct));
        answer.Task.ContinueWith(_ => given.Dispose(), CancellationToken.None, TaskContinuationOptions.None, TaskScheduler.Default);
        return answer.Task;
    }

    /// <summary>Answers what is open.</summary>
    /// <param name="now">Gives the garden as it is; asked only where there is a question.</param>
    public void Answer(Func<GardenNow> now)
    {
        if (_open.IsEmpty)
            return;
        var garden = now();
        while (_open.TryDequeue(out var question))
            question(garden);
    }
}
