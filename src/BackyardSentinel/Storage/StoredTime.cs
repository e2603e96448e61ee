namespace BackyardSentinel.Storage;

/// <summary>The times that a store may hold. One outside is damage: no clock has shown it.</summary>
internal static class StoredTime
{
    /// <summary>1970-01-01, ms since 1970 UTC.</summary>
    public const long FirstMs = 0;

    /// <summary>9000-01-01, ms since 1970 UTC: far, and all that is reckoned from it still is a date.</summary>
    public const long LastMs = 221_845_392_000_000;

    /// <summary>A time in µs since 1970 UTC that can be one.</summary>
    public static bool IsMicroseconds(long us) => us is >= FirstMs * 1000 and <= LastMs * 1000;
}
