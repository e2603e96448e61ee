using BackyardSentinel.Guards;

namespace BackyardSentinel.Configuration;

/// <summary>The InfluxDB 2 server that readings and judgements are copied to.</summary>
/// <param name="Url">Its address, or where that is kept.</param>
/// <param name="Org">The organization.</param>
/// <param name="Bucket">The bucket.</param>
/// <param name="Token">Where the token is kept; the garden file never holds it.</param>
/// <param name="What">What is written; at least one.</param>
public sealed record InfluxSettings(
    KeptValue Url,
    string Org,
    string Bucket,
    KeptValue Token,
    IReadOnlyList<ForwardedKind> What);

/// <summary>What may be written to another server.</summary>
public enum ForwardedKind
{
    /// <summary>Readings that were taken.</summary>
    Readings,

    /// <summary>Intervals of weather.</summary>
    Intervals,

    /// <summary>The level of each planting, at the end of each interval.</summary>
    Levels,

    /// <summary>Infection windows.</summary>
    Windows,
}

/// <summary>Its words.</summary>
public static class ForwardedKindWords
{
    /// <summary>The word in the garden file.</summary>
    public static string Word(this ForwardedKind kind) => kind switch
    {
        ForwardedKind.Readings => "readings",
        ForwardedKind.Intervals => "intervals",
        ForwardedKind.Levels => "levels",
        ForwardedKind.Windows => "windows",
    };
}
