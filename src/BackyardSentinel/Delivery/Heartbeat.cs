using System.Net.Sockets;
using BackyardSentinel.Guards;
using Polly;
using Polly.Timeout;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Delivery;

/// <summary>
/// Fetches an address at a steady pace while readings are taken and judged, so that whoever watches it notices when this computer falls
/// silent. It tells nothing but that it lives.
/// </summary>
public sealed class Heartbeat
{
    private static readonly TimeSpan Look = TimeSpan.FromMinutes(1), Starting = TimeSpan.FromMinutes(5);

    private readonly Uri _url;
    private readonly TimeSpan _every;
    private readonly HttpMessageInvoker _http;
    private readonly Func<bool> _isWell;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly ResiliencePipeline _limit;
    private bool _toldIll;
    private string? _trouble;
    private long? _illSince;

    /// <summary>Makes it.</summary>
    /// <param name="url">The address, http or https. It is a secret: only its host is ever shown.</param>
    /// <param name="every">The pace, 5 min to 24 h.</param>
    /// <param name="http">Sends the requests; made on a handler that follows no redirects.</param>
    /// <param name="isWell">Readings are taken and judged; while not, no beat is sent.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    public Heartbeat(Uri url, TimeSpan every, HttpMessageInvoker http, Func<bool> isWell, TimeProvider time, ILogger log)
    {
        ArgumentNullException.ThrowIfNull(url);
        if (!url.IsAbsoluteUri || url.Scheme is not ("http" or "https"))
            throw new ArgumentException("The address must be http or https.", nameof(url));
        ArgumentOutOfRangeException.ThrowIfLessThan(every, TimeSpan.FromMinutes(5));
        ArgumentOutOfRangeException.ThrowIfGreaterThan(every, TimeSpan.FromHours(24));
        (_url, _every, _http, _isWell, _time, _log) = (url, every, http, isWell, time, log);
        _limit = new ResiliencePipelineBuilder { TimeProvider = time }.AddTimeout(WebhookReceiver.AttemptTimeout).Build();
    }

    /// <summary>Beats until cancelled, at once for the first time.</summary>
    /// <param name="ct">Asks it to stop.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        try
        {
            // Looked at more often than it beats, so that the first beat, and the first after a trouble, do not come late.
            using var timer = new PeriodicTimer(Look, _time);
            long? beaten = null;
            do
            {
                if (!IsWell() || (beaten is { } last && _time.GetElapsedTime(last) < _every)) continue;
                beaten = _time.GetTimestamp();
                await BeatAsync(ct).ConfigureAwait(false);
            }
            while (await timer.WaitForNextTickAsync(ct).ConfigureAwait(false));
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            // Stopping is no failure.
        }
    }

    private bool IsWell()
    {
        if (_isWell())
        {
            (_illSince, _toldIll) = (null, false);
            return true;
        }

        _illSince ??= _time.GetTimestamp();
        // A start takes a moment and is no trouble.
        if (!_toldIll && _time.GetElapsedTime(_illSince.Value) >= Starting)
        {
            _toldIll = true;
            _log.Warning("No heartbeat is sent while readings are not taken and judged; whoever watches for it will say so.");
        }

        return false;
    }

    private async Task BeatAsync(CancellationToken ct)
    {
        string? trouble;
        try
        {
            using var request = new HttpRequestMessage(HttpMethod.Get, _url);
            request.Headers.TryAddWithoutValidation(UserAgent.Header, UserAgent.Product);
            var status = await _limit
                .ExecuteAsync(
                    async token =>
                    {
                        using var response = await _http.SendAsync(request, token).ConfigureAwait(false);
                        return (int)response.StatusCode;
                    },
                    ct)
                .ConfigureAwait(false);
            trouble = status is >= 200 and < 300
                ? null
                : "it answered " + status.ToString(System.Globalization.CultureInfo.InvariantCulture);
        }
        catch (TimeoutRejectedException)
        {
            trouble = "it gave no answer in time";
        }
        catch (Exception failure) when (failure is HttpRequestException or IOException or SocketException)
        {
            // The bare socket's failure comes from a connection that is reset in the very moment in which it stands.
            trouble = PrivateAddressException.IsIn(failure)
                ? "its address is of your own network, which is not asked; give one elsewhere"
                : CertificateFault.Of(failure) is { } fault ? $"it {fault}" : "it cannot be reached";
        }

        // Said when it begins, is another, and ends, not at every beat.
        if (trouble is not null && trouble != _trouble)
            _log.Warning("The heartbeat did not arrive at {Host}: {Trouble}. It goes on trying.", _url.Host, trouble);
        else if (trouble is null && _trouble is not null)
            _log.Information("The heartbeat arrives at {Host} again.", _url.Host);
        _trouble = trouble;
    }
}
