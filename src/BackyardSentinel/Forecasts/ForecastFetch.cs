using System.Globalization;
using System.Net;
using System.Net.Http.Headers;
using System.Net.Sockets;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Forecasts;

/// <summary>What one request brought.</summary>
/// <param name="Body">The bytes; <c>null</c> when the source says that nothing has changed.</param>
/// <param name="ETag">The mark of this version, for the next request.</param>
/// <param name="LastModified">The date of this version, for the next request.</param>
/// <param name="FreshFor">How long the source says that it holds; <c>null</c> when it does not say.</param>
internal sealed record FetchedForecast(byte[]? Body, EntityTagHeaderValue? ETag, DateTimeOffset? LastModified, TimeSpan? FreshFor);

/// <summary>Makes one request for a forecast and judges the answer (RFC 9110 and RFC 9111).</summary>
internal sealed class ForecastFetch(HttpClient http, ForecastSource source, TimeProvider time)
{
    /// <summary>Asks once.</summary>
    /// <param name="known">What is known from before, so that the source need not send it again.</param>
    /// <param name="ct">Ends it.</param>
    /// <exception cref="ForecastFetchException">There is no usable answer.</exception>
    public async Task<FetchedForecast> GetAsync(FetchedForecast? known, CancellationToken ct)
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, source.Url);
        request.Headers.UserAgent.ParseAdd(source.UserAgent);
        request.Headers.Accept.ParseAdd("application/json, */*;q=0.5");
        if (known?.ETag is { } mark) request.Headers.IfNoneMatch.Add(mark);
        request.Headers.IfModifiedSince = known?.LastModified;
        foreach (var (name, value) in source.Headers) request.Headers.TryAddWithoutValidation(name, value);
        try
        {
            using var response = await http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, ct).ConfigureAwait(false);
            var fresh = FreshFor(response);
            if (response.StatusCode == HttpStatusCode.NotModified && known is not null)
                return known with { Body = null, FreshFor = fresh };
            if (response.StatusCode != HttpStatusCode.OK)
                throw Refused(response);
            return new FetchedForecast(
                await BodyAsync(response, ct).ConfigureAwait(false),
                response.Headers.ETag,
                response.Content.Headers.LastModified,
                fresh);
        }
        catch (HttpRequestException failed) when (failed.InnerException is PrivateAddressException closed)
        {
            // A router without a line to the outside may answer each name with itself.
            throw new ForecastFetchException(closed.Message, isPassing: false, isUnanswered: true);
        }
        catch (Exception failed) when (failed is HttpRequestException or IOException or SocketException)
        {
            // The bare socket's failure comes from a connection that is reset in the very moment in which it stands.
            throw new ForecastFetchException(
                CertificateFault.Of(failed) is { } fault
                    ? $"it {fault}"
                    : $"it cannot be reached or broke off: {Brief(failed)} (is this computer online?)",
                isPassing: true,
                isUnanswered: true);
        }
        catch (Exception failed) when (failed is InvalidDataException or InvalidOperationException)
        {
            // What unpacks the answer throws the one for gzip and deflate, the other for Brotli.
            throw new ForecastFetchException("its answer is not packed as it says, and cannot be read", isPassing: true);
        }
    }

    private static async Task<byte[]> BodyAsync(HttpResponseMessage response, CancellationToken ct)
    {
        using var kept = new MemoryStream();
        var stream = await response.Content.ReadAsStreamAsync(ct).ConfigureAwait(false);
        await using var closing = stream.ConfigureAwait(false);
        var part = new byte[16 * 1024];
        while (await stream.ReadAsync(part, ct).ConfigureAwait(false) is > 0 and var read)
        {
            kept.Write(part, 0, read);
            if (kept.Length > ForecastReader.MaxBytes)
                throw new ForecastFetchException(
                    "its answer is larger than 1 MiB and was not read to the end; ask it for fewer days or quantities",
                    isPassing: false);
        }

        return kept.ToArray();
    }

    private ForecastFetchException Refused(HttpResponseMessage response)
    {
        var code = ((int)response.StatusCode).ToString(CultureInfo.InvariantCulture);
        var wait = RetryAfter(response);
        return (int)response.StatusCode switch
        {
            301 or 302 or 303 or 307 or 308 => new(
                "it redirects to "
                    + (response.Headers.Location is { IsAbsoluteUri: true } there ? there.Host : "another address of its own")
                    + $" ({code}), and redirects are not followed; write the new address into the garden file",
                false),
            401 or 403 => new(
                $"it refuses the request ({code}); check the key and the headers, the contact and how many decimals the coordinates have",
                false),
            404 or 410 => new($"there is nothing at the address ({code}); check it", false),
            429 => new("it was asked too often (429)", false, wait),
            503 when wait is not null => new("it is out of service for a while (503)", false, wait),
            408 or >= 500 => new($"it has trouble of its own ({code})", true),
            _ => new($"it answered with status {code} instead of a forecast", false),
        };
    }

    private TimeSpan? RetryAfter(HttpResponseMessage response) => response.Headers.RetryAfter switch
    {
        { Delta: { } delta } => delta,
        { Date: { } date } => date - (response.Headers.Date ?? time.GetUtcNow()),
        _ => null,
    };

    /// <summary>Max-age goes before Expires (RFC 9111, 5.3), and both count by the source's own clock.</summary>
    private TimeSpan? FreshFor(HttpResponseMessage response) =>
        response.Headers.CacheControl is { NoCache: true } or { NoStore: true } ? null
        : response.Headers.CacheControl?.MaxAge is { } age ? age - (response.Headers.Age ?? TimeSpan.Zero)
        : response.Content.Headers.Expires is { } expires ? expires - (response.Headers.Date ?? time.GetUtcNow())
        : null;

    private static string Brief(Exception failed) => (failed as HttpRequestException)?.HttpRequestError switch
    {
        HttpRequestError.NameResolutionError => "its name is not known",
        HttpRequestError.SecureConnectionError => "no encrypted connection can be agreed on",
        _ => "no connection",
    };
}
