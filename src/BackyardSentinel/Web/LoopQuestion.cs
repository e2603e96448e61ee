using BackyardSentinel.Live;

namespace BackyardSentinel.Web;

/// <summary>Asks the loop, and gives up where it does not answer.</summary>
/// <param name="loop">The loop.</param>
/// <param name="time">The clock.</param>
public sealed class LoopQuestion(SentinelLoop loop, TimeProvider time)
{
    /// <summary>The loop answers within milliseconds; one that does not stands, as with a disk that takes nothing.</summary>
    public static TimeSpan Patience => TimeSpan.FromSeconds(3);

    /// <summary>
    /// How long what was typed waits while the season is judged again, which a small computer does in that time (assumed).
    /// </summary>
    private static readonly TimeSpan LongPatience = TimeSpan.FromMinutes(1);

    /// <summary>Asks.</summary>
    /// <param name="question">Looks and answers, on the loop's thread.</param>
    /// <param name="ct">The asker gives up.</param>
    /// <exception cref="TimeoutException">The loop does not answer.</exception>
    public async Task<T> AskAsync<T>(Func<GardenNow, T> question, CancellationToken ct)
    {
        using var patience = new CancellationTokenSource(Patience, time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(ct, patience.Token);
        try
        {
            return await loop.AskAsync(question, either.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (patience.IsCancellationRequested && !ct.IsCancellationRequested)
        {
            throw new TimeoutException("The loop does not answer.");
        }
    }

    /// <summary>Asks for what is to be written: while the season is judged again a look is told to come back, a form waits.</summary>
    /// <inheritdoc cref="AskAsync"/>
    public async Task<T> AskToWriteAsync<T>(Func<GardenNow, T> question, CancellationToken ct)
    {
        var began = time.GetTimestamp();
        while (true)
        {
            var isJudging = loop.IsJudgingAgain;
            try
            {
                return await AskAsync(question, ct).ConfigureAwait(false);
            }
            catch (TimeoutException) when (
                (isJudging || loop.IsJudgingAgain) && time.GetElapsedTime(began) < LongPatience)
            {
                // Asked again: it is answered once the season has been judged.
            }
        }
    }
}
