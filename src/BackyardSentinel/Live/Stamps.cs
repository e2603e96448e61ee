using BackyardSentinel.Storage;

namespace BackyardSentinel.Live;

/// <summary>Stamps of arrival: whole microseconds, strictly increasing while the clock is not set back.</summary>
internal sealed class Stamps(long lastUs)
{
    /// <summary>The latest stamp given.</summary>
    public long LastUs { get; private set; } = lastUs;

    /// <summary>The next stamp: <paramref name="now"/>, or just after the last one if the clock has not moved on.</summary>
    public long Next(DateTimeOffset now) => LastUs = Math.Max(StoredTime.ToMicroseconds(now), LastUs + 1);

    /// <summary>The clock has been set back: stamps go on from here.</summary>
    public void GoBackTo(DateTimeOffset moment) => LastUs = Math.Min(LastUs, StoredTime.ToMicroseconds(moment));
}
