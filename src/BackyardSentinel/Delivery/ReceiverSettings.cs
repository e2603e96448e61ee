using BackyardSentinel.Guards;

namespace BackyardSentinel.Delivery;

/// <summary>One receiver's settings; what is kept elsewhere is fetched before use. Written out as text it shows none of them.</summary>
public sealed record ReceiverSettings
{
    /// <summary>Its id.</summary>
    public required string Id { get; init; }

    /// <summary>What it is.</summary>
    public ReceiverKind Kind { get; init; } = ReceiverKind.Webhook;

    /// <summary>Where a webhook sends: http or https. It may hold a password or token.</summary>
    public KeptValue? Url { get; init; }

    /// <summary>What a webhook's body is made of.</summary>
    public WebhookContent Content { get; init; } = WebhookContent.Standard;

    /// <summary>The body's Liquid template; needed for <see cref="WebhookContent.Json"/> and <see cref="WebhookContent.Form"/>.</summary>
    public string? Template { get; init; }

    /// <summary>Path of a file with the template, which is read before use; <c>null</c>: it stands here, or there is none.</summary>
    public string? TemplatePath { get; init; }

    /// <summary>Headers of each request.</summary>
    public IReadOnlyList<ReceiverHeader> Headers { get; init; } = [];

    /// <summary>
    /// Signs each request: <c>whsec_</c> and 24 to 64 bytes in base64; while it is being changed two of them with a blank or
    /// a line end between, and requests carry a signature by each. <c>null</c>: unsigned.
    /// </summary>
    public KeptValue? Secret { get; init; }

    /// <summary>The one or two secrets.</summary>
    internal IReadOnlyList<string> Secrets => Secret?.Plain?.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries) ?? [];

    /// <summary>Private and loopback addresses may be reached.</summary>
    public bool AllowPrivate { get; init; }

    /// <summary>How long a message is of use to this receiver, 1 h to 72 h.</summary>
    public TimeSpan UsefulFor { get; init; } = TimeSpan.FromHours(24);

    /// <inheritdoc/>
    public override string ToString() => $"receiver {Id} ({Kind})";
}
