namespace BackyardSentinel.Configuration;

/// <summary>The database file and how often it is written.</summary>
public sealed record StoreSettings
{
    /// <summary>Path of the database file; in the garden file a relative one starts at its own folder.</summary>
    public string Path { get; init; } = "data/sentinel.db";

    /// <summary>Readings are committed together at least this often.</summary>
    public TimeSpan CommitWindow { get; init; } = TimeSpan.FromSeconds(30);
}
