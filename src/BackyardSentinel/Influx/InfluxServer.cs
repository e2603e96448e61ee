using System.Globalization;
using System.Net;
using System.Text.RegularExpressions;
using BackyardSentinel.Guards;
using InfluxDB.Client;
using InfluxDB.Client.Api.Domain;
using InfluxDB.Client.Core.Exceptions;
using InfluxDB.Client.Core.Flux.Domain;
using InfluxDB.Client.Writes;
using NodaTime;

namespace BackyardSentinel.Influx;

/// <summary>What a server answered.</summary>
public enum InfluxOutcome
{
    /// <summary>It has taken everything.</summary>
    Taken,

    /// <summary>It does not take these very lines, now or later.</summary>
    Refused,

    /// <summary>It has taken all lines but some that it does not take, now or later.</summary>
    Partly,

    /// <summary>They are too many for one request.</summary>
    TooLarge,

    /// <summary>Some or all of the lines are older than its bucket keeps; it has taken the others.</summary>
    TooOld,

    /// <summary>It does not take anything from us: the token, the organization or the bucket is wrong.</summary>
    NotAllowed,

    /// <summary>It did not answer, or takes nothing at the moment.</summary>
    Later,
}

/// <summary>An answer.</summary>
/// <param name="Outcome">What became of the lines.</param>
/// <param name="Reason">Why, without a secret in it; empty when they were taken.</param>
/// <param name="Pause">How long the server wants to be left alone; <c>null</c>: it did not say.</param>
public sealed record InfluxAnswer(InfluxOutcome Outcome, string Reason = "", TimeSpan? Pause = null)
{
    /// <summary>How many lines it has dropped; <c>null</c>: it did not say.</summary>
    public int? Dropped { get; init; }
}

/// <summary>Where a server is, and as whom to speak to it.</summary>
/// <param name="Url">Its address.</param>
/// <param name="Org">The organization.</param>
/// <param name="Bucket">The bucket.</param>
/// <param name="Token">The secret token.</param>
public sealed record InfluxAddress(Uri Url, string Org, string Bucket, string Token)
{
    /// <inheritdoc/>
    public override string ToString() => $"{Url.Scheme}://{Url.Authority}, bucket {Bucket}";
}

/// <summary>
/// An InfluxDB 2 server. Each call is one attempt; when to try again is the caller's. This file is the only one that knows the
/// client library.
/// </summary>
public sealed partial class InfluxServer : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    private readonly InfluxDBClient _client;
    private readonly InfluxAddress _address;

    /// <summary>Makes it; it connects with the first call.</summary>
    /// <param name="address">Where it is.</param>
    public InfluxServer(InfluxAddress address)
    {
        ArgumentNullException.ThrowIfNull(address);
        _address = address;
        _client = new InfluxDBClient(
            new InfluxDBClientOptions(address.Url.AbsoluteUri.TrimEnd('/'))
            {
                Token = address.Token,
                Org = address.Org,
                Bucket = address.Bucket,
                Timeout = Patience,
            });
        _client.EnableGzip();
    }

    /// <summary>A point as a line of the line protocol, its time in whole milliseconds.</summary>
    /// <param name="measurement">The measurement.</param>
    /// <param name="tags">Tags.</param>
    /// <param name="fields">Fields: text, whole numbers, numbers, true or false; what is <c>null</c> is left out.</param>
    /// <param name="at">Its time.</param>
    public static string Line(
        string measurement,
        IEnumerable<(string Key, string Value)> tags,
        IEnumerable<(string Key, object? Value)> fields,
        DateTimeOffset at)
    {
        ArgumentNullException.ThrowIfNull(tags);
        ArgumentNullException.ThrowIfNull(fields);
        var point = PointData.Builder.Measurement(measurement);
        foreach (var (key, value) in tags)
            point = point.Tag(key, value);
        foreach (var (key, value) in fields)
            point = value is null ? point : point.Field(key, value);
        return point.Timestamp(at.ToUnixTimeMilliseconds(), WritePrecision.Ms).ToPointData().ToLineProtocol();
    }

    /// <summary>Writes lines, packed, in one request.</summary>
    /// <param name="lines">The lines, times in milliseconds.</param>
    /// <param name="ct">Gives up.</param>
    public async Task<InfluxAnswer> WriteAsync(IReadOnlyList<string> lines, CancellationToken ct)
    {
        try
        {
            var answer = await _client
                .GetWriteApiAsync()
                .WriteRecordsAsyncWithIRestResponse(lines, WritePrecision.Ms, _address.Bucket, _address.Org, ct)
                .ConfigureAwait(false);
            // What was taken is answered with 204 and no text (docs.influxdata.com, InfluxDB OSS v2, troubleshoot writes).
            return answer.StatusCode == HttpStatusCode.NoContent
                ? new InfluxAnswer(InfluxOutcome.Taken)
                : new InfluxAnswer(
                    InfluxOutcome.Later,
                    FormattableString.Invariant($"{(int)answer.StatusCode}, where an InfluxDB answers 204: {Shown(answer.Content ?? "")}")
                        .TrimEnd(' ', ':'));
        }
        catch (Exception failure) when (!ct.IsCancellationRequested)
        {
            return Answer(failure);
        }
        catch (Exception failure)
        {
            throw new OperationCanceledException("The server was not waited for.", failure, ct);
        }
    }

    /// <summary>Asks in Flux.</summary>
    /// <param name="flux">The query.</param>
    /// <param name="onRow">Told the values of each row by the name of their column; moments are UTC.</param>
    /// <param name="ct">Gives up.</param>
    public async Task<InfluxAnswer> QueryAsync(string flux, Action<IReadOnlyDictionary<string, object?>> onRow, CancellationToken ct)
    {
        try
        {
            Exception? fault = null;
            await _client
                .GetQueryApi()
                .QueryAsync(flux, Row, failure => fault = failure, null, _address.Org, ct)
                .ConfigureAwait(false);
            return fault is null ? new InfluxAnswer(InfluxOutcome.Taken) : Answer(fault);
        }
        catch (Exception failure) when (!ct.IsCancellationRequested)
        {
            return Answer(failure);
        }
        catch (Exception failure)
        {
            throw new OperationCanceledException("The server was not waited for.", failure, ct);
        }

        void Row(FluxRecord record) => onRow(
            record.Values.ToDictionary(
                pair => pair.Key,
                pair => pair.Value is Instant moment ? moment.ToDateTimeOffset() : (object?)pair.Value,
                StringComparer.Ordinal));
    }

    /// <inheritdoc/>
    public void Dispose() => _client.Dispose();

    private InfluxAnswer Answer(Exception failure)
    {
        var (status, pause) = failure is HttpException http ? (http.Status, http.RetryAfter) : (0, null);
        var isPartial = failure.Message.Contains("partial write", StringComparison.Ordinal);
        var outcome = status switch
        {
            413 => InfluxOutcome.TooLarge,
            401 or 403 or 404 => InfluxOutcome.NotAllowed,
            408 or 429 => InfluxOutcome.Later,
            // "partial write: points beyond retention policy dropped=…"; some versions answered so with 500 and would be asked for ever
            // (docs.influxdata.com, InfluxDB OSS v2, troubleshoot writes; github.com/influxdata/influxdb issue 20359).
            422 or 500 when failure.Message.Contains("beyond retention policy", StringComparison.Ordinal) => InfluxOutcome.TooOld,
            400 or 422 when isPartial => InfluxOutcome.Partly,
            >= 400 and < 500 => InfluxOutcome.Refused,
            _ => InfluxOutcome.Later,
        };
        var why = IsOverdue(failure) ? FormattableString.Invariant($"it has not answered within {Patience.TotalSeconds} seconds")
            : CertificateFault.Of(failure) is { } fault ? $"it {fault}"
            // The library takes a pause in whole seconds alone, and loses the answer over any other.
            : failure.GetType().Assembly == typeof(CsvHelper.CsvReader).Assembly ? "what it answers is no table of an InfluxDB"
            : failure is FormatException or OverflowException ? "it asks to be left alone for a while"
            : status is >= 300 and < 400 ? "it points to another address; write that one as url"
            : Shown(status == 0 ? failure.GetBaseException().Message : failure.Message);
        return new InfluxAnswer(
            outcome,
            status == 0 ? why : FormattableString.Invariant($"{status}{(why.Length > 0 ? ", " : "")}{why}"),
            pause is > 0 and var seconds ? TimeSpan.FromSeconds(Math.Min(seconds, 3600)) : null)
        {
            Dropped = Dropped().Match(failure.Message) is { Success: true } match
                ? int.Parse(match.Groups[1].ValueSpan, CultureInfo.InvariantCulture)
                : null,
        };
    }

    [GeneratedRegex(@"\bdropped=(\d{1,9})\b")]
    private static partial Regex Dropped();

    /// <summary>The client gave up; the library tells only that something was cancelled.</summary>
    private static bool IsOverdue(Exception? failure) => failure is not null
        && (failure is OperationCanceledException or TimeoutException
            || failure.Message.Contains("operation was canceled", StringComparison.OrdinalIgnoreCase)
            || IsOverdue(failure.InnerException));

    /// <summary>The beginning of what a server said; servers like to repeat what they were sent.</summary>
    private string Shown(string text)
    {
        foreach (var form in SecretForms.Packed(_address.Token).Prepend(_address.Token))
            text = text.Replace(form, "…", StringComparison.OrdinalIgnoreCase);
        var clean = string.Concat(text.Select(letter => char.IsControl(letter) ? ' ' : letter));
        return (clean.Length > 160 ? clean[..160] + "…" : clean).Trim().TrimEnd('.');
    }
}
