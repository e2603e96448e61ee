using System.Globalization;
using System.Net.Http.Headers;
using System.Net.Sockets;
using System.Security.Cryptography;
using System.Text;
using BackyardSentinel.Contract;
using BackyardSentinel.Guards;
using Polly;
using Polly.Timeout;

namespace BackyardSentinel.Delivery;

/// <summary>Sends alerts as HTTP POST requests, signed by the Standard Webhooks specification when there is a secret.</summary>
public sealed class WebhookReceiver : IAlertReceiver
{
    /// <summary>How long one attempt may take, answer included; the Standard Webhooks specification says 15 to 30 s.</summary>
    public static readonly TimeSpan AttemptTimeout = TimeSpan.FromSeconds(20);

    /// <summary>Bytes of a body; the Standard Webhooks specification asks for less than 20 kB.</summary>
    private const int LargestBody = 20_000;

    /// <summary>So many messages without an answer, where questions get one, are no fault of the line (assumed).</summary>
    private const int Often = 3;

    private static readonly TimeSpan ClockPatience = TimeSpan.FromSeconds(30);

    private readonly ReceiverSettings _settings;
    private readonly Uri _url;
    private readonly BodyTemplate? _template;
    private readonly HttpMessageInvoker _http;
    private readonly TimeProvider _time;
    private readonly Func<bool> _clockIsTrusted;
    private readonly WebhookAnswers _answers;
    private readonly ResiliencePipeline _limit;

    // A message went out and nothing came back: it may have arrived. And how often that befell one although a question was answered.
    private bool _isInDoubt;
    private int _answeredOtherwise;

    private WebhookReceiver(
        ReceiverSettings settings, Uri url, BodyTemplate? template, HttpMessageInvoker http, TimeProvider time, Func<bool> clockIsTrusted)
    {
        (_settings, _url, _template, _http, _time, _clockIsTrusted) = (settings, url, template, http, time, clockIsTrusted);
        _answers = new WebhookAnswers(settings.Id, url, new Redaction(settings, url));
        _limit = new ResiliencePipelineBuilder { TimeProvider = time }
            .AddTimeout(new TimeoutStrategyOptions { Timeout = AttemptTimeout })
            .Build();
        Fingerprint = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(url.AbsoluteUri)))[..16];
    }

    /// <inheritdoc/>
    public string Name => _settings.Id;

    /// <inheritdoc/>
    public string Fingerprint { get; }

    /// <summary>Makes the receiver, or says what is wrong with its settings.</summary>
    /// <param name="settings">Its settings.</param>
    /// <param name="http">
    /// Sends the requests: made on a handler that follows no redirects, and no <see cref="HttpClient"/>, which would take
    /// answers of any size.
    /// </param>
    /// <param name="time">The clock.</param>
    /// <param name="clockIsTrusted">The computer's clock is set; receivers refuse signatures whose time is wrong.</param>
    /// <param name="receiver">The receiver, or <c>null</c>.</param>
    /// <param name="reason">A sentence without secrets, or <c>null</c>.</param>
    public static bool TryCreate(
        ReceiverSettings settings, HttpMessageInvoker http, TimeProvider time, Func<bool> clockIsTrusted,
        out WebhookReceiver? receiver, out string? reason)
    {
        ArgumentNullException.ThrowIfNull(settings);
        ArgumentNullException.ThrowIfNull(http);
        receiver = null;
        if (!Uri.TryCreate(settings.Url?.Plain, UriKind.Absolute, out var url)
            || url.Scheme is not ("http" or "https")
            || url.Host.Length == 0)
            reason = $"The destination {settings.Id} has no usable url: write one that begins with https:// or http://.";
        else if (FaultOfSecrets(settings) is { } fault)
            reason = fault;
        else if (!TryTemplate(settings, out var template, out reason))
            reason = FaultOfTemplate(reason!, settings);
        else
            receiver = new WebhookReceiver(settings, url, template, http, time, clockIsTrusted);
        return receiver is not null;
    }

    /// <summary>What is wrong with the form of a receiver's secret or headers, a sentence without them; <c>null</c>: nothing.</summary>
    /// <param name="settings">The settings, fetched.</param>
    public static string? FaultOfSecrets(ReceiverSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        if (settings.Secret is not null && settings.Secrets is not { Count: 1 or 2 })
            return $"The secret of the destination {settings.Id} must be one, or two while it is being changed, each on a line of its own.";
        if (!settings.Secrets.All(StandardWebhook.IsSecret))
            return $"The secret of the destination {settings.Id} is no webhook secret: it must be whsec_ and base64 of 24 to 64 bytes. "
                + "Copy it again from the other side.";
        return BadHeader(settings) is { } header
            ? $"The header {header} of the destination {settings.Id} cannot be sent: a name takes letters, digits and hyphens, "
                + "a value one line of ASCII, and webhook- headers are the program's own."
            : null;
    }

    /// <inheritdoc/>
    public async Task<DeliveryResult> SendAsync(AlertMessage message, CancellationToken ct)
    {
        ArgumentNullException.ThrowIfNull(message);
        if (_settings.Secret is not null && !_clockIsTrusted())
            return new DeliveryResult.RetryLater(
                $"The destination {Name} waits for this computer's clock to be set: with a wrong time its signature would be refused.",
                ClockPatience)
            {
                Attempted = false,
            };
        byte[] body;
        if (_template is null)
            body = AlertJson.WriteStandardBody(message);
        else if (_template.TryRender(message, out var text, out var reason))
            body = Encoding.UTF8.GetBytes(text!);
        else
            return new DeliveryResult.Rejected(
                _answers.Clean($"The template of the destination {Name} {reason}. Mend it in the garden file."));
        if (body.Length > LargestBody)
            return new DeliveryResult.Rejected(
                $"The destination {Name} got nothing: the body would be {body.Length} bytes, "
                    + $"and {LargestBody} is the most. Shorten its template.");

        var wentOut = false;
        try
        {
            using var request = Request(message.Id, body);
            return await _limit.ExecuteAsync(async token =>
            {
                if (_isInDoubt)
                    await AskAsync(token).ConfigureAwait(false);
                wentOut = true;
                using var response = await _http.SendAsync(request, token).ConfigureAwait(false);
                (_isInDoubt, _answeredOtherwise) = (false, 0);
                return _answers.Judge(response, await WebhookAnswers.ReadAsync(response, token).ConfigureAwait(false), _time.GetUtcNow());
            }, ct).ConfigureAwait(false);
        }
        catch (TimeoutRejectedException)
        {
            return Unanswered(
                _answers.Failure($"gave no answer within {AttemptTimeout.TotalSeconds.ToString(CultureInfo.InvariantCulture)} s"),
                wentOut);
        }
        catch (HttpRequestException failure)
        {
            var noConnection = failure.HttpRequestError
                is HttpRequestError.NameResolutionError or HttpRequestError.ConnectionError or HttpRequestError.SecureConnectionError;
            return Unanswered(_answers.Judge(failure), wentOut && !noConnection);
        }
        catch (Exception failure) when (failure is IOException or SocketException)
        {
            // The bare socket's failure comes from a connection that is reset in the very moment in which it stands.
            return Unanswered(_answers.Failure("broke the connection off"), wentOut);
        }
    }

    /// <summary>
    /// Asks for nothing (RFC 9110, 9.3.7), to see whether anything answers: the message, which may have arrived, would arrive again each
    /// time. What the answer is does not matter.
    /// </summary>
    private async Task AskAsync(CancellationToken ct)
    {
        using var question = new HttpRequestMessage(HttpMethod.Options, _url);
        question.Headers.TryAddWithoutValidation(UserAgent.Header, UserAgent.Product);
        using var answer = await _http.SendAsync(question, ct).ConfigureAwait(false);
    }

    /// <summary>
    /// A receiver that answers questions but no message may take longer over those than it is waited for, and get each that is sent.
    /// </summary>
    private DeliveryResult.RetryLater Unanswered(DeliveryResult.RetryLater result, bool mayHaveArrived)
    {
        _answeredOtherwise = mayHaveArrived && _isInDoubt ? _answeredOtherwise + 1 : 0;
        _isInDoubt |= mayHaveArrived;
        return result with { Unanswered = _answeredOtherwise < Often };
    }

    /// <summary>What is wrong with a receiver's template, a sentence; <c>null</c>: nothing, or it takes none.</summary>
    /// <param name="settings">The settings, with the template's text.</param>
    public static string? FaultOfTemplate(ReceiverSettings settings) =>
        TryTemplate(settings, out _, out var reason) ? null : FaultOfTemplate(reason!, settings);

    private static string FaultOfTemplate(string reason, ReceiverSettings settings) =>
        $"The template of the destination {settings.Id} {reason}";

    private static bool TryTemplate(ReceiverSettings settings, out BodyTemplate? template, out string? reason)
    {
        (template, reason) = (null, null);
        if (settings.Content == WebhookContent.Standard) return true;
        var source = settings.Template ?? (settings.Content == WebhookContent.Text ? "{{ title }}\n\n{{ text }}\n" : null);
        if (source is null)
        {
            reason = $"is missing: content {settings.Content.Word()} needs one.";
            return false;
        }

        if (BodyTemplate.TryParse(source, settings.Content, out template, out reason)) return true;
        reason += ".";
        return false;
    }

    private static string? BadHeader(ReceiverSettings settings)
    {
        using var probe = new HttpRequestMessage();
        foreach (var header in settings.Headers)
        {
            var fits = header.Name.Length > 0 && header.Name.All(letter => char.IsAsciiLetterOrDigit(letter) || letter is '-' or '_')
                && header.Value.Plain!.All(letter => letter is >= ' ' and < '\x7f')
                && !header.Name.StartsWith("webhook-", StringComparison.OrdinalIgnoreCase)
                && (
                    header.Name.Equals("Content-Type", StringComparison.OrdinalIgnoreCase)
                    || probe.Headers.TryAddWithoutValidation(header.Name, header.Value.Plain));
            if (!fits)
                return PlainText.OneLine(header.Name, 40);
        }

        return null;
    }

    private HttpRequestMessage Request(string id, byte[] body)
    {
        var request = new HttpRequestMessage(HttpMethod.Post, _url) { Content = new ByteArrayContent(body) };
        request.Content.Headers.ContentType = MediaTypeHeaderValue.Parse(_settings.Content switch
        {
            WebhookContent.Text => "text/plain; charset=utf-8",
            WebhookContent.Form => "application/x-www-form-urlencoded",
            WebhookContent.Standard or WebhookContent.Json => "application/json",
        });
        request.Headers.TryAddWithoutValidation(UserAgent.Header, UserAgent.Product);
        if (_url.UserInfo.Length > 0)
            request.Headers.Authorization = new AuthenticationHeaderValue(
                "Basic",
                Convert.ToBase64String(Encoding.UTF8.GetBytes(Uri.UnescapeDataString(_url.UserInfo))));
        foreach (var header in _settings.Headers)
        {
            if (header.Name.Equals("Content-Type", StringComparison.OrdinalIgnoreCase))
            {
                request.Content.Headers.Remove(header.Name);
                request.Content.Headers.TryAddWithoutValidation(header.Name, header.Value.Plain);
            }
            else
            {
                request.Headers.Remove(header.Name);
                request.Headers.TryAddWithoutValidation(header.Name, header.Value.Plain);
            }
        }

        // The id goes with unsigned requests too: it is how the other side knows a repeated one.
        request.Headers.TryAddWithoutValidation("webhook-id", id);
        if (_settings.Secrets is { Count: > 0 } secrets)
        {
            var timestamp = _time.GetUtcNow().ToUnixTimeSeconds();
            request.Headers.TryAddWithoutValidation("webhook-timestamp", timestamp.ToString(CultureInfo.InvariantCulture));
            request.Headers.TryAddWithoutValidation(
                "webhook-signature",
                string.Join(' ', secrets.Select(secret => StandardWebhook.Sign(id, timestamp, body, secret))));
        }

        return request;
    }
}
