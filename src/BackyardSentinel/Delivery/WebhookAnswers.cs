using System.Globalization;
using System.Net.Sockets;
using System.Security.Authentication;
using System.Text;
using BackyardSentinel.Guards;

namespace BackyardSentinel.Delivery;

/// <summary>What a webhook's answer or failure means for the message, in sentences that hold no secret.</summary>
internal sealed class WebhookAnswers(string receiver, Uri url, Redaction redaction)
{
    /// <summary>Bytes of an answer that are read; the rest is left.</summary>
    private const int LargestAnswer = 64 * 1024;

    /// <summary>Letters of an answer that are shown.</summary>
    private const int ShownLetters = 200;

    /// <summary>A pause that is asked for is told where it is longer.</summary>
    private static readonly TimeSpan LongPause = TimeSpan.FromHours(1);

    /// <summary>The longest pause a receiver may ask for; one that names a date in another century has a wrong clock.</summary>
    private static readonly TimeSpan LongestPause = TimeSpan.FromHours(24);

    // Only scheme and host are ever shown: the path of such addresses is often the password.
    private readonly string _who = $"The destination {receiver} ({url.Scheme}://{url.Authority})";

    /// <summary>Reads as much of the answer as counts. What is late or broken off after the status came is left out.</summary>
    public static async Task<string> ReadAsync(HttpResponseMessage response, CancellationToken ct)
    {
        var buffer = new byte[LargestAnswer];
        var length = 0;
        try
        {
            await using var body = await response.Content.ReadAsStreamAsync(ct).ConfigureAwait(false);
            while (length < buffer.Length)
            {
                var read = await body.ReadAsync(buffer.AsMemory(length), ct).ConfigureAwait(false);
                if (read == 0) break;
                length += read;
            }
        }
        catch (Exception failure) when (failure is OperationCanceledException or IOException or HttpRequestException)
        {
            // The status tells whether the message was taken; trying again for the rest would send it twice.
        }

        return Encoding.UTF8.GetString(buffer, 0, length);
    }

    public DeliveryResult Judge(HttpResponseMessage response, string body, DateTimeOffset now)
    {
        var status = (int)response.StatusCode;
        var said = PlainText.OneLine(Clean(body), ShownLetters);
        var answer = string.Create(CultureInfo.InvariantCulture, $"answered {status}") + (said.Length > 0 ? $": {said}" : "");
        switch (status)
        {
            case >= 200 and < 300:
                return new DeliveryResult.Delivered(answer);
            case >= 300 and < 400:
                var location = response.Headers.Location is { IsAbsoluteUri: true } other ? Clean(other.Host) : "another path";
                return new DeliveryResult.Rejected(
                    $"{_who} answered {status} and points to {location}. Redirects are not followed: "
                        + "write the final address into the garden file.");
            case 410:
                return new DeliveryResult.Rejected(
                    $"{_who} answered 410: it is gone and wants nothing more, so it is switched off. Give it a new address, "
                        + "or remove it from the garden file.",
                    SwitchOff: true);
            case 408 or 425 or 429 or >= 500:
                return Later(answer, Pause(response, now));
            default:
                return new DeliveryResult.Rejected($"{_who} refused the message and {answer}. Look at its address, headers and template.");
        }
    }

    public DeliveryResult.RetryLater Judge(HttpRequestException failure)
    {
        for (Exception? inner = failure; inner is not null; inner = inner.InnerException)
        {
            switch (inner)
            {
                case PrivateAddressException:
                    return Failure(
                        "has an address of this machine or its own network, which is not asked. "
                            + "If that is meant, set allow_private for it");
                case AuthenticationException:
                    return Failure(CertificateFault.Of(inner) ?? "cannot agree on an encrypted connection");
                case SocketException socket:
                    return Failure(
                        socket.SocketErrorCode switch
                        {
                            SocketError.HostNotFound or SocketError.NoData or SocketError.TryAgain =>
                                "has a host name that cannot be looked up. Is this computer online, and is the name spelt right?",
                            SocketError.ConnectionRefused => "refuses the connection. Is the service there running?",
                            _ => "cannot be reached over the network",
                        });
            }
        }

        return failure.HttpRequestError == HttpRequestError.SecureConnectionError
            ? Failure("cannot agree on an encrypted connection")
            : Failure("broke the connection off");
    }

    /// <summary>Nothing came back that could be judged.</summary>
    public DeliveryResult.RetryLater Failure(string what) => Later(what, null) with { Unanswered = true };

    private DeliveryResult.RetryLater Later(string what, TimeSpan? after)
    {
        var again = after > LongPause
            ? string.Create(CultureInfo.InvariantCulture, $"It asks for a pause: it is tried again in {after.Value.TotalHours:0.#} hours.")
            : "It is tried again.";
        return new($"{_who} {what}{(what.EndsWith('?') ? "" : ".")} {again}", after);
    }

    public string Clean(string text) => redaction.Clean(text);

    private static TimeSpan? Pause(HttpResponseMessage response, DateTimeOffset now)
    {
        var asked = response.Headers.RetryAfter switch
        {
            { Delta: { } seconds } => seconds,
            { Date: { } date } => date - now,
            _ => (TimeSpan?)null,
        };
        return asked is { } pause ? TimeSpan.FromTicks(Math.Clamp(pause.Ticks, 0, LongestPause.Ticks)) : null;
    }
}
