using BackyardSentinel.Alerting;

namespace BackyardSentinel.Contract;

/// <summary>The standard body of a webhook.</summary>
/// <remarks>The form that the Standard Webhooks specification recommends (from memory).</remarks>
/// <param name="Type"><c>alert.</c> and the kind.</param>
/// <param name="Timestamp">When the alert was released, UTC.</param>
/// <param name="Data">The alert.</param>
[SchemaFile("alert-webhook")]
public sealed record WebhookBody(
    [SaidBy(
        typeof(Occasion),
        nameof(Occasion.Kind),
        Alert.SummaryKind,
        AlertMessage.DigestKind,
        AlertMessage.TestKind,
        Prefix = WebhookBody.TypePrefix)]
        string Type,
    DateTimeOffset Timestamp,
    AlertMessage Data)
{
    private const string TypePrefix = "alert.";

    /// <summary>The body that tells an alert.</summary>
    /// <param name="message">The alert.</param>
    public static WebhookBody Of(AlertMessage message) => new(TypePrefix + message.Kind, message.At, message);
}
