namespace BackyardSentinel.Ingest;

/// <summary>Reads a forecast from a file, for planning without a connection.</summary>
public static class ForecastFile
{
    /// <summary>Reads the file.</summary>
    /// <param name="path">Its path.</param>
    /// <param name="map">How it is read; <c>null</c> for our own form, <see cref="ForecastJson"/>.</param>
    /// <param name="fetchedAt">When it was fetched, for a file read by a map.</param>
    /// <param name="ageUnknown">The file does not tell when it was fetched; see <see cref="ForecastReader.Read(ReadOnlyMemory{byte}, ForecastMap?, DateTimeOffset, bool)"/>.</param>
    public static ForecastResult Read(string path, ForecastMap? map, DateTimeOffset fetchedAt, bool ageUnknown = false)
    {
        byte[] bytes;
        try
        {
            using var file = File.OpenRead(path);
            bytes = new byte[ForecastReader.MaxBytes + 1]; // One more than is read, so that a longer file is told as such.
            bytes = bytes[..file.ReadAtLeast(bytes, bytes.Length, throwOnEndOfStream: false)];
        }
        catch (Exception cannot) when (cannot is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return ForecastResult.Refuse(cannot is FileNotFoundException or DirectoryNotFoundException
                ? $"the forecast file {path} does not exist"
                : $"the forecast file {path} cannot be read: {cannot.Message}");
        }

        var result = ForecastReader.Read(bytes, map, fetchedAt, ageUnknown);
        return result.Reason is { } reason ? result with { Reason = $"{path}: {reason}" } : result;
    }
}
