using System.Diagnostics;

namespace BackyardSentinel.Network;

/// <summary>
/// The time of one trial: the computer's, or one that goes on by itself wherever everybody waits for it, and never while
/// somebody has yet to answer.
/// </summary>
/// <param name="made">The made time; <c>null</c>: the computer's.</param>
internal sealed class CellTime(PauseTime? made)
{
    private static readonly TimeSpan Step = TimeSpan.FromSeconds(1), Patience = TimeSpan.FromSeconds(180);

    public TimeProvider Time => made ?? TimeProvider.System;

    /// <summary>Where what is sent may be kept waiting.</summary>
    public IFaulty? Line { get; set; }

    /// <summary>A request is under way that only real time ends.</summary>
    public Func<bool> IsBusy { get; set; } = () => false;

    /// <summary>Lets time pass until something holds.</summary>
    /// <returns>How much has passed; <paramref name="most"/> where it did not come to hold.</returns>
    public async Task<TimeSpan> PassAsync(TimeSpan most, Func<bool> until)
    {
        var (began, passed, stuck) = (Time.GetTimestamp(), TimeSpan.Zero, Stopwatch.StartNew());
        while (!until() && passed < most)
        {
            if (made is null)
            {
                await Task.Delay(TimeSpan.FromMilliseconds(100), TimeProvider.System, TestContext.Current.CancellationToken);
            }
            else if (Line is { Holds: true } || (made.IsPaused && !IsBusy()))
            {
                made.Advance(Step);
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
