namespace BackyardSentinel.Hosting;

/// <summary>Stamps of arrival: whole microseconds, strictly increasing, so that stored order is judged order.</summary>
internal sealed class Stamps(long lastUs)
{
    /// <summary>The latest stamp given.</summary>
    public long LastUs { get; private set; } = lastUs;

    public static long ToMicroseconds(DateTimeOffset moment) => (moment.UtcTicks - DateTimeOffset.UnixEpoch.Ticks) / TimeSpan.TicksPerMicrosecond;

    public static DateTimeOffset ToMoment(long microseconds) => DateTimeOffset.UnixEpoch.AddTicks(microseconds * TimeSpan.TicksPerMicrosecond);

    /// <summary>The next stamp: <paramref name="now"/>, or just after the last one if the clock has not moved on.</summary>
    public long Next(DateTimeOffset now) => LastUs = Math.Max(ToMicroseconds(now), LastUs + 1);

    /// <summary>Time was let pass to here, so no later stamp may lie before it.</summary>
    public void Reach(DateTimeOffset moment) => LastUs = Math.Max(LastUs, ToMicroseconds(moment));
}
