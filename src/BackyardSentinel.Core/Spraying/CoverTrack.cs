namespace BackyardSentinel.Spraying;

/// <summary>
/// Follows one planting's cover as sprays and rain are told, in any order: a spray may be written down days after it was
/// done. Tell it only sprays that give cover (<see cref="ActiveIngredients.GivesCover"/>).
/// </summary>
public sealed class CoverTrack(WashOff? washOff = null)
{
    // Cover outlasts no year, and rain is kept only for sprays that are written down late.
    private static readonly TimeSpan Kept = TimeSpan.FromDays(366);

    private readonly WashOff washOff = washOff ?? new WashOff();
    private readonly Queue<RainAmount> falls = new();

    /// <summary>When spraying last ended, UTC, if any spray is known.</summary>
    public DateTimeOffset? SprayedAt { get; private set; }

    /// <summary>Rain since then, mm; 0 without a spray.</summary>
    public double RainMm { get; private set; }

    /// <summary>What is left.</summary>
    public Cover Cover => SprayedAt is null ? Cover.None : washOff.After(RainMm);

    /// <summary>A spray that gives cover ended; an earlier one than is known changes nothing.</summary>
    /// <param name="at">When, UTC.</param>
    public void Sprayed(DateTimeOffset at)
    {
        if (at <= SprayedAt)
            return;
        SprayedAt = at;
        RainMm = falls.Where(fall => fall.At >= at).Sum(fall => fall.Mm);
    }

    /// <summary>
    /// It rained. Rain in an interval that began before spraying ended is taken for rain before; rain while the spray
    /// still dries counts like any other.
    /// </summary>
    /// <param name="mm">Amount, mm, from 0.</param>
    /// <param name="at">Start of the interval in which it fell, UTC.</param>
    public void Rain(double mm, DateTimeOffset at)
    {
        if (!(mm >= 0) || double.IsInfinity(mm))
            throw new ArgumentOutOfRangeException(nameof(mm), mm, "An amount of rain must be a number from 0 up.");
        if (mm == 0)
            return;
        falls.Enqueue(new RainAmount(at, mm));
        while (at - falls.Peek().At > Kept)
            falls.Dequeue();
        if (at >= SprayedAt)
            RainMm += mm;
    }
}
