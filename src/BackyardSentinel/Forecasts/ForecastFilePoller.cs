using BackyardSentinel.Guards;
using BackyardSentinel.Weather;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Forecasts;

/// <summary>
/// Looks now and again at a file that something else writes, and hands its forecast on when it has changed. Where the
/// forecast does not say when it was issued, the time at which the file was written counts: an old file gets no younger by being read.
/// </summary>
/// <param name="path">The file.</param>
/// <param name="map">How it is read; <c>null</c> for our own form, <see cref="ForecastJson"/>.</param>
/// <param name="every">Time between looks.</param>
/// <param name="onForecast">Takes each new forecast.</param>
/// <param name="time">The clock.</param>
/// <param name="log">Where sentences go.</param>
public sealed class ForecastFilePoller(
    string path,
    ForecastMap? map,
    TimeSpan every,
    Action<Forecast> onForecast,
    TimeProvider time,
    ILogger log)
{
    private DateTimeOffset? _taken;
    private string? _told;

    /// <summary>Looks at once and then again and again until cancelled.</summary>
    /// <param name="ct">Ends it.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        try
        {
            using var timer = new PeriodicTimer(every, time);
            do Look();
            while (await timer.WaitForNextTickAsync(ct).ConfigureAwait(false));
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            // The usual end.
        }
    }

    /// <summary>Looks once.</summary>
    /// <returns>A new forecast was handed on.</returns>
    public bool Look()
    {
        // Of a file that is not there, or not to be asked, this is a date long ago or an exception: reading says why.
        var written = OrdinaryFile.WrittenAt(path);
        if (written is not null && written == _taken) return false;
        var now = time.GetUtcNow();
        var fetchedAt = written is { } at && at < now ? at : now;
        var result = ForecastFile.Read(path, map, fetchedAt);
        if (result.Forecast is not { } forecast)
        {
            Tell($"No new forecast: {result.Reason}. The sensors are judged without it, and a forecast older than 12 hours is not used.");
            return false;
        }

        if (_told is not null) log.Information("The forecast in {Path} can be read again.", path);
        (_taken, _told) = (written, null);
        if (result.Remarks.Count > 0) log.Information("The forecast in {Path}: {Remarks:l}.", path, string.Join("; ", result.Remarks));
        onForecast(forecast);
        return true;
    }

    /// <summary>The same trouble is told once.</summary>
    private void Tell(string sentence)
    {
        if (_told == sentence) return;
        _told = sentence;
        log.Warning("{Sentence:l}", sentence);
    }
}
