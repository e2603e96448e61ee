using System.Runtime.ExceptionServices;
using BackyardSentinel.Guards;
using BackyardSentinel.Weather;
using Polly;
using Polly.Retry;
using Polly.Timeout;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Forecasts;

/// <summary>
/// Fetches the forecast now and again, as a good guest: it says who it is, asks seldom and never at the same minute as
/// others, sends the marks of what it has, and keeps away for as long as the source wishes. Where no answer comes at all, the line
/// is tried until one does. A failure is told once, and the forecast handed on before stays with whoever has it, until it is stale.
/// </summary>
public sealed class ForecastPoller
{
    private static readonly TimeSpan Longest = TimeSpan.FromHours(24), Quiet = TimeSpan.FromHours(24);

    private readonly ForecastFetch _fetch;
    private readonly ForecastSource _source;
    private readonly ForecastMap? _map;
    private readonly Func<Forecast, CancellationToken, ValueTask> _onForecast;
    private readonly TimeProvider _time;
    private readonly Func<double> _random;
    private readonly ILogger _log;
    private readonly ResiliencePipeline _pipeline;
    private readonly Dictionary<string, DateTimeOffset> _said = [];
    private readonly ForecastMemory? _memory;
    private FetchedForecast? _known;
    private bool _toldFailure, _isUnanswered;

    /// <summary>Makes a poller that has not asked yet.</summary>
    /// <param name="http">The client, over <see cref="CreateHandler"/>.</param>
    /// <param name="source">Whom to ask, and how often.</param>
    /// <param name="map">How the answer is read; <c>null</c> where it is in our own form, <see cref="ForecastJson"/>.</param>
    /// <param name="onForecast">Takes each new forecast.</param>
    /// <param name="time">The clock of waits and of fetching.</param>
    /// <param name="random">Gives numbers from 0 up to 1, which spread the requests.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="memory">What earlier runs know of the source; <c>null</c>: nothing, and nothing is kept.</param>
    public ForecastPoller(
        HttpClient http, ForecastSource source, ForecastMap? map, Func<Forecast, CancellationToken, ValueTask> onForecast,
        TimeProvider time, Func<double> random, ILogger log, ForecastMemory? memory = null)
    {
        (_memory, _known) = (memory, memory?.Known);
        (_source, _map, _onForecast, _time, _random, _log) = (source, map, onForecast, time, random, log);
        _fetch = new ForecastFetch(http, source, time);
        _pipeline = new ResiliencePipelineBuilder { TimeProvider = time }
            .AddRetry(
                new RetryStrategyOptions
                {
                    ShouldHandle = args =>
                        ValueTask.FromResult(
                            !_isUnanswered
                            && args.Outcome.Exception is TimeoutRejectedException or ForecastFetchException { IsPassing: true }),
                    MaxRetryAttempts = 3,
                    BackoffType = DelayBackoffType.Exponential,
                    Delay = TimeSpan.FromSeconds(10),
                    UseJitter = true,
                    Randomizer = random,
                })
            .AddTimeout(TimeSpan.FromSeconds(20))
            .Build();
    }

    /// <summary>The handler that the client should use: no redirects, no cookies, and the address judged when connecting.</summary>
    /// <param name="allowPrivate">The source may lie in the own network.</param>
    public static SocketsHttpHandler CreateHandler(bool allowPrivate)
    {
        var handler = PublicAddress.Handler(allowPrivate);
        // Asked for, and understood where it comes unasked; the limit on the answer's size counts what comes out of it.
        handler.AutomaticDecompression = System.Net.DecompressionMethods.All;
        return handler;
    }

    /// <summary>Asks at once, or when an earlier run would have asked, and then again and again until cancelled.</summary>
    /// <param name="ct">Ends it.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        try
        {
            if (_memory?.Recall(_time.GetUtcNow()) is { } wait && wait > TimeSpan.Zero)
            {
                _log.Information(
                    "The forecast from {Source} was asked for a short while ago; it is asked again in {Minutes:0} min.",
                    _source.Url.Host,
                    Math.Ceiling(wait.TotalMinutes));
                await Task.Delay(wait, _time, ct).ConfigureAwait(false);
            }

            while (true)
            {
                // Noted before, so that a program that fails over the answer and is started again does not ask at each start.
                _memory?.Note(_known, _time.GetUtcNow() + ForecastSource.Shortest);
                wait = await PollAsync(ct).ConfigureAwait(false);
                _memory?.Note(_known, _time.GetUtcNow() + wait);
                await Task.Delay(wait, _time, ct).ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            // The usual end.
        }
    }

    /// <summary>
    /// Asks once, with up to three repeats within two minutes or so where the trouble may pass; without, where the last time brought
    /// no answer either.
    /// </summary>
    /// <param name="ct">Ends it.</param>
    /// <returns>How long to wait until the next time: 30 minutes to 24 hours, or 90 seconds where no answer came.</returns>
    public async Task<TimeSpan> PollAsync(CancellationToken ct)
    {
        var wait = _source.Every * (0.8 + (0.4 * _random()));
        try
        {
            var fetched = await _pipeline
                .ExecuteAsync(async token => await _fetch.GetAsync(_known, token).ConfigureAwait(false), ct)
                .ConfigureAwait(false);
            _isUnanswered = false;
            if (fetched.Body is { } body && !await TakeAsync(body, ct).ConfigureAwait(false))
                return Within(wait, null);
            _known = fetched with { Body = null }; // Only what could be used is asked for by its mark from now on.
            Recovered();
            return Within(wait, fetched.FreshFor);
        }
        catch (ForecastFetchException failed)
        {
            Failed(failed.Message, failed.Message);
            return Next(failed.IsUnanswered, wait, failed.NotBefore);
        }
        catch (Exception slow) when (slow is TimeoutRejectedException or OperationCanceledException)
        {
            if (ct.IsCancellationRequested) ExceptionDispatchInfo.Throw(slow);
            Failed("slow", "it did not answer within 20 seconds");
            return Next(true, wait, null);
        }
    }

    /// <summary>Once it has been told that no answer comes, the line is tried without repeats.</summary>
    private TimeSpan Next(bool unanswered, TimeSpan wait, TimeSpan? wish) =>
        (_isUnanswered = unanswered) ? ForecastSource.Unanswered * (1 - (0.1 * _random())) : Within(wait, wish);

    private async Task<bool> TakeAsync(byte[] body, CancellationToken ct)
    {
        var result = ForecastReader.Read(body, _map, _time.GetUtcNow());
        if (result.Forecast is not { } forecast)
        {
            Failed("content", result.Reason!);
            return false;
        }

        if (result.Remarks.Count > 0 && IsNews("remarks"))
            _log.Information("The forecast from {Source}: {Remarks:l}.", _source.Url.Host, string.Join("; ", result.Remarks));
        await _onForecast(forecast, ct).ConfigureAwait(false);
        return true;
    }

    /// <summary>The source's wish counts where it is longer; a moment is added so that not everybody comes at its end.</summary>
    private TimeSpan Within(TimeSpan wait, TimeSpan? wish)
    {
        if (wish is { } asked && asked > wait) wait = asked < Longest ? asked + TimeSpan.FromSeconds(60 * _random()) : Longest;
        return wait < ForecastSource.Shortest ? ForecastSource.Shortest : wait > Longest ? Longest : wait;
    }

    private void Failed(string kind, string reason)
    {
        if (!IsNews(kind)) return;
        _toldFailure = true;
        _log.Warning(
            "No new forecast from {Source}: {Reason:l} The sensors are judged without it, and a forecast older than 12 hours is not used.",
            _source.Url.Host,
            reason.EndsWith('?') ? reason : reason + ".");
    }

    private void Recovered()
    {
        // What came and went untold may stay so: a source that fails every other time would fill the log.
        if (_toldFailure) _log.Information("The forecast from {Source} is back.", _source.Url.Host);
        _toldFailure = false;
    }

    /// <summary>The same is said once a day.</summary>
    private bool IsNews(string kind)
    {
        var now = _time.GetUtcNow();
        if (_said.TryGetValue(kind, out var at) && now - at < Quiet && now >= at) return false;
        if (_said.Count >= 50) _said.Clear(); // A source that answers otherwise each time gets no more memory than this.
        _said[kind] = now;
        return true;
    }
}
