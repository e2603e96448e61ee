using System.Net.Http.Headers;

namespace BackyardSentinel.Forecasts;

/// <summary>
/// What is known of a forecast's source over restarts: the marks of the version that was taken, and when it may be asked again.
/// </summary>
/// <param name="eTag">The mark kept; <c>null</c>: none.</param>
/// <param name="lastModified">The date kept; <c>null</c>: none.</param>
/// <param name="notBefore">The source is not asked before this moment; <c>null</c>: it may be asked.</param>
/// <param name="keep">Keeps mark, date and moment.</param>
public sealed class ForecastMemory(
    string? eTag,
    DateTimeOffset? lastModified,
    DateTimeOffset? notBefore,
    Action<string?, DateTimeOffset?, DateTimeOffset> keep)
{
    /// <summary>A moment further ahead was written by a clock that was wrong.</summary>
    private static readonly TimeSpan Longest = TimeSpan.FromHours(24);

    /// <summary>The marks as a request sends them; <c>null</c>: there are none.</summary>
    internal FetchedForecast? Known => eTag is null && lastModified is null ? null
        : new FetchedForecast(null, EntityTagHeaderValue.TryParse(eTag, out var mark) ? mark : null, lastModified, null);

    /// <summary>How long the source must still be left alone.</summary>
    internal TimeSpan? Recall(DateTimeOffset now) => notBefore - now is { } wait && wait <= Longest ? wait : null;

    /// <summary>Keeps what is known now.</summary>
    internal void Note(FetchedForecast? known, DateTimeOffset until) => keep(known?.ETag?.ToString(), known?.LastModified, until);
}
