using BackyardSentinel.Garden;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Spraying;

/// <summary>
/// Follows one planting's cover as sprays and rain are told, in any order: a spray may be written down days after it was
/// done. Tell it only sprays that give cover (<see cref="ActiveIngredients.GivesCover"/>).
/// </summary>
public sealed class CoverTrack(WashOff? washOff = null)
{
    // Cover outlasts no year, and rain is kept only for sprays that are written down late.
    private static readonly TimeSpan Kept = TimeSpan.FromDays(366);

    private readonly WashOff _washOff = washOff ?? new WashOff();
    private readonly Queue<RainAmount> _falls = new();

    /// <summary>When spraying last ended, UTC, if any spray is known.</summary>
    public DateTimeOffset? SprayedAt { get; private set; }

    /// <summary>Rain since then, mm; 0 without a spray.</summary>
    public double RainMm { get; private set; }

    /// <summary>What is left.</summary>
    public Cover Cover => SprayedAt is null ? Cover.None : _washOff.After(RainMm);

    /// <summary>
    /// When a journal's spray ended, UTC; noon where the time was not noted. A time that the clocks skip is moved on by quarters
    /// of an hour until they show it, one that comes twice is the later, so that no rain before the spray counts as rain after it.
    /// </summary>
    /// <param name="entry">The spray.</param>
    /// <param name="zone">The site's zone.</param>
    public static DateTimeOffset EndOf(SprayEntry entry, TimeZoneInfo zone) =>
        LocalClock.Shown(entry.On, entry.At ?? new TimeOnly(12, 0), zone, TimeSpan.FromMinutes(15)).Last;

    /// <summary>A spray that gives cover ended; an earlier one than is known changes nothing.</summary>
    /// <param name="at">When, UTC.</param>
    public void Sprayed(DateTimeOffset at)
    {
        if (at <= SprayedAt)
            return;
        SprayedAt = at;
        RainMm = _falls.Where(fall => fall.At >= at).Sum(fall => fall.Mm);
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
        _falls.Enqueue(new RainAmount(at, mm));
        while (at - _falls.Peek().At > Kept)
            _falls.Dequeue();
        if (at >= SprayedAt)
            RainMm += mm;
    }
}
