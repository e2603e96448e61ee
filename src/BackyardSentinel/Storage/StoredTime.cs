namespace BackyardSentinel.Storage;

/// <summary>The times that a store may hold. One outside is damage: no clock has shown it.</summary>
internal static class StoredTime
{
    /// <summary>1970-01-01, ms since 1970 UTC.</summary>
    public const long FirstMs = 0;

    /// <summary>9000-01-01, ms since 1970 UTC: far, and all that is reckoned from it still is a date.</summary>
    public const long LastMs = 221_845_392_000_000;

    /// <summary>The moment of µs since 1970 UTC; one that no clock has shown is brought to the nearest that one can have.</summary>
    public static DateTimeOffset ToMoment(long us) =>
        DateTimeOffset.UnixEpoch.AddTicks(Math.Clamp(us, FirstMs * 1000, LastMs * 1000) * TimeSpan.TicksPerMicrosecond);

    /// <summary>Whole µs since 1970 UTC.</summary>
    public static long ToMicroseconds(DateTimeOffset moment) =>
        (moment.UtcTicks - DateTimeOffset.UnixEpoch.UtcTicks) / TimeSpan.TicksPerMicrosecond;

    /// <summary>A time in µs since 1970 UTC that can be one.</summary>
    public static bool IsMicroseconds(long us) => us is >= FirstMs * 1000 and <= LastMs * 1000;
}
