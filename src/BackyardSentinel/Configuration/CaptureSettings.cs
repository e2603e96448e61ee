namespace BackyardSentinel.Configuration;

/// <summary>Where raw messages are kept beside the store, and how many.</summary>
public sealed record CaptureSettings
{
    /// <summary>The folder; made where it is not there.</summary>
    public required string Folder { get; init; }

    /// <summary>The most that its files may take, bytes; the oldest are removed.</summary>
    public required long MostBytes { get; init; }
}
