using System.Diagnostics;

namespace BackyardSentinel.Network;

/// <summary>
/// The time of one trial: the computer's, or one that goes on by itself wherever everybody waits for it, and never while
/// somebody has yet to answer.
/// </summary>
/// <param name="made">The made time; <c>null</c>: the computer's.</param>
internal sealed class CellTime(PauseTime? made)
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(180);

    /// <summary>Made time, in which what waits for an answer of this one is no pause.</summary>
    public static CellTime Made(LineEnd end) => new(new PauseTime(end == LineEnd.Webhook ? [] : PauseTime.OfBrokers));

    public TimeProvider Time => made ?? TimeProvider.System;

    /// <summary>Where what is sent may be kept waiting.</summary>
    public IFaulty? Line { get; set; }

    /// <summary>A request is under way that only real time ends.</summary>
    public Func<bool> IsBusy { get; set; } = () => false;

    /// <summary>Lets time pass until something holds.</summary>
    /// <param name="most">No longer than this.</param>
    /// <param name="until">What is to hold.</param>
    /// <param name="step">Made time goes on by so much, s, while nothing is under way.</param>
    /// <returns>How much has passed; <paramref name="most"/> where it did not come to hold.</returns>
    public async Task<TimeSpan> PassAsync(TimeSpan most, Func<bool> until, int step = 1)
    {
        var (began, passed, stuck) = (Time.GetTimestamp(), TimeSpan.Zero, Stopwatch.StartNew());
        while (!until() && passed < most)
        {
            if (made is null)
            {
                await Task.Delay(TimeSpan.FromMilliseconds(100), TimeProvider.System, TestContext.Current.CancellationToken);
            }
            else if (Line is { Holds: true } || (made is { IsPaused: true, IsLimited: false } && !IsBusy()))
            {
                made.Advance(TimeSpan.FromSeconds(Line is { Holds: true } ? Math.Min(2, step) : step));
                stuck.Restart();
                await Task.Delay(1, TestContext.Current.CancellationToken);
            }
            else
            {
                Assert.False(stuck.Elapsed > Patience, "Nobody waits and nobody answers.");
                await Task.Delay(1, TestContext.Current.CancellationToken);
            }

            passed = Time.GetElapsedTime(began);
        }

        return passed < most ? passed : most;
    }
}
