using BackyardSentinel.Delivery;

namespace BackyardSentinel.Configuration;

/// <summary>One way on which alerts leave the program.</summary>
public sealed record GardenReceiver
{
    /// <summary>Short id used in messages.</summary>
    public required string Id { get; init; }

    /// <summary>What it is.</summary>
    public required ReceiverKind Kind { get; init; }

    /// <summary>A webhook's address, http or https; <c>null</c> for the other kinds.</summary>
    public GardenValue? Url { get; init; }

    /// <summary>What a webhook's body is made of.</summary>
    public WebhookContent Content { get; init; } = WebhookContent.Standard;

    /// <summary>Template of the body; json and form have this or <see cref="TemplatePath"/>.</summary>
    public string? Template { get; init; }

    /// <summary>Path of a file with the template of the body.</summary>
    public string? TemplatePath { get; init; }

    /// <summary>Headers of a webhook's requests.</summary>
    public IReadOnlyList<GardenHeader> Headers { get; init; } = [];

    /// <summary>Where the key is that a webhook's requests are signed with; <c>null</c>: unsigned.</summary>
    public SecretReference? Secret { get; init; }

    /// <summary>A webhook may lie in the own network.</summary>
    public bool AllowPrivate { get; init; }

    /// <summary>How long a message is of use to this receiver, 1 h to 72 h.</summary>
    public TimeSpan UsefulFor { get; init; } = TimeSpan.FromHours(24);
}
