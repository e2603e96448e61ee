namespace BackyardSentinel.Live;

/// <summary>Whether the loop turns and its judgement keeps up with the clock. Told by the loop's thread, asked by any.</summary>
/// <param name="time">The clock.</param>
internal sealed class Pulse(TimeProvider time)
{
    /// <summary>The loop turns each second; a store that takes nothing stops it.</summary>
    private static readonly TimeSpan LongestTurn = TimeSpan.FromMinutes(2);

    /// <summary>Two of the longest intervals with the longest allowance for late readings.</summary>
    private static readonly TimeSpan LongestLag = TimeSpan.FromHours(3);

    private long _turnedAt, _judgedToTicks;

    /// <summary>The loop turns.</summary>
    public bool Beats => Volatile.Read(ref _turnedAt) is var turned && turned != 0 && time.GetElapsedTime(turned) <= LongestTurn;

    /// <summary>No site lags far behind the clock, or is ahead of it.</summary>
    public bool KeepsUp =>
        (time.GetUtcNow() - new DateTimeOffset(Volatile.Read(ref _judgedToTicks), TimeSpan.Zero)).Duration() <= LongestLag;

    /// <summary>The loop has turned.</summary>
    public void Turned() => Volatile.Write(ref _turnedAt, time.GetTimestamp());

    /// <summary>A minute is judged.</summary>
    /// <param name="minute">The minute.</param>
    /// <param name="watches">The watches of all sites; before the first reading there is nothing to lag behind.</param>
    public void Judged(DateTimeOffset minute, IEnumerable<SiteWatch> watches) =>
        Volatile.Write(ref _judgedToTicks, watches.Min(watch => watch.LastInterval?.End.UtcTicks ?? minute.UtcTicks));
}
