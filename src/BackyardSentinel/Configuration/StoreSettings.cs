namespace BackyardSentinel.Configuration;

/// <summary>The database file and how often it is written.</summary>
public sealed record StoreSettings
{
    /// <summary>Where a relative path starts when the garden file lies below <c>/etc</c>; the systemd unit makes it.</summary>
    public const string SystemFolder = "/var/lib/backyard-sentinel";

    /// <summary>The name of a garden file there, without its ending; one of another name has a folder of that name.</summary>
    public const string UsualGarden = "garden";

    /// <summary>
    /// Path of the database file; in the garden file a relative one starts at its own folder, or at <see cref="SystemFolder"/>.
    /// </summary>
    public string Path { get; init; } = "data/sentinel.db";

    /// <summary>
    /// Readings are kept for so many years; of earlier ones hourly values are. Three hold the season before any that is judged,
    /// and the year before that.
    /// </summary>
    public int KeepYears { get; init; } = 5;

    /// <summary>Readings are committed together at least this often.</summary>
    public TimeSpan CommitWindow { get; init; } = TimeSpan.FromSeconds(30);
}
