using BackyardSentinel.Guards;

namespace BackyardSentinel.Forecasts;

/// <summary>Reads a forecast from a file, for planning without a connection.</summary>
public static class ForecastFile
{
    /// <summary>Reads the file.</summary>
    /// <param name="path">Its path.</param>
    /// <param name="map">How it is read; <c>null</c> for our own form, <see cref="ForecastJson"/>.</param>
    /// <param name="fetchedAt">When it was fetched, for a file read by a map.</param>
    /// <param name="ageUnknown">The file does not tell when it was fetched; see <see cref="ForecastReader.Read(ReadOnlyMemory{byte},
    /// ForecastMap?, DateTimeOffset, bool)"/>.</param>
    public static ForecastResult Read(string path, ForecastMap? map, DateTimeOffset fetchedAt, bool ageUnknown = false)
    {
        if (!OrdinaryFile.TryRead(path, ForecastReader.MaxBytes, out var bytes, out var reason))
            return ForecastResult.Refuse($"no forecast could be read: {reason}");

        var result = ForecastReader.Read(bytes!, map, fetchedAt, ageUnknown);
        return result.Reason is { } fault ? result with { Reason = $"{path}: {fault}" } : result;
    }
}
