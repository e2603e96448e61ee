using System.Security.Cryptography;
using System.Text;
using BackyardSentinel.Configuration;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Live;
using BackyardSentinel.Storage;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>What the garden file says about the forecast, made into the part that brings it.</summary>
public sealed class ForecastWiring
{
    private readonly ForecastSettings _settings;

    private ForecastWiring(ForecastSettings settings)
    {
        _settings = settings;
        if (settings is { Kind: ForecastWay.Http, Url: { } url })
            Source = new ForecastSource(AlertWiringReceivers.Address(url, "The url of the forecast"), settings.Contact!, settings.Every)
            {
                Headers =
                [
                    .. settings.Headers.Select(header =>
                        (header.Name, AlertWiringReceivers.Fetched(header.Value, $"The header {header.Name} of the forecast"))),
                ],
            };
        if (settings is { Kind: ForecastWay.Mqtt, Topic: { } topic })
            Topic = (topic, settings.Map);
    }

    /// <summary>Whom to ask over HTTP; <c>null</c> with the other sources.</summary>
    public ForecastSource? Source { get; }

    /// <summary>The topic by which forecasts come, with their map; <c>null</c> with the other sources.</summary>
    public (string Topic, ForecastMap? Map)? Topic { get; }

    /// <summary>Reads what the settings point to.</summary>
    /// <param name="settings">The garden file's settings.</param>
    /// <exception cref="WiringProblemException">The address cannot be had.</exception>
    public static ForecastWiring Of(ForecastSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return new ForecastWiring(settings);
    }

    /// <summary>
    /// Brings forecasts until cancelled: asks the address or looks at the file. Returns at once where they come by topic.
    /// </summary>
    /// <param name="inlet">Takes each new forecast.</param>
    /// <param name="time">The clock.</param>
    /// <param name="random">Gives numbers from 0 up to 1, which spread requests.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="marks">What earlier runs know of the source; <c>null</c>: nothing, and nothing is kept.</param>
    /// <param name="ct">Ends it.</param>
    public async Task RunAsync(
        ForecastInlet inlet,
        TimeProvider time,
        Func<double> random,
        ILogger log,
        ForecastMarks? marks,
        CancellationToken ct)
    {
        ArgumentNullException.ThrowIfNull(inlet);
        if (Source is { } source)
        {
            using var http = new HttpClient(ForecastPoller.CreateHandler(_settings.AllowPrivate));
            var poller = new ForecastPoller(
                http,
                source,
                _settings.Map,
                (forecast, _) =>
                {
                    inlet.Put(forecast);
                    return ValueTask.CompletedTask;
                },
                time,
                random,
                log,
                marks is null ? null : Memory(source, marks));
            await poller.RunAsync(ct).ConfigureAwait(false);
        }
        else if (_settings is { Kind: ForecastWay.File, Path: { } path })
        {
            await new ForecastFilePoller(path, _settings.Map, _settings.Every, inlet.Put, time, log).RunAsync(ct).ConfigureAwait(false);
        }
    }

    /// <summary>What is known of this very source, read in this very way: after a change of either it is asked afresh.</summary>
    private ForecastMemory Memory(ForecastSource source, ForecastMarks marks)
    {
        var way = Convert.ToHexStringLower(
            SHA256.HashData(
                Encoding.UTF8.GetBytes($"{source.Url.AbsoluteUri}\n{_settings}\n{string.Join('\n', _settings.Map?.Quantities ?? [])}")));
        var known = marks.Read() is { } mark && mark.Source == way ? mark : null;
        return new ForecastMemory(
            known?.ETag,
            known?.LastModified,
            known?.NotBefore,
            (eTag, lastModified, notBefore) => marks.Keep(new ForecastMark(way, notBefore, eTag, lastModified)));
    }
}
