namespace BackyardSentinel.Delivery;

/// <summary>What a webhook's body is made of.</summary>
public enum WebhookContent
{
    /// <summary>The JSON body described in the docs.</summary>
    Standard,

    /// <summary>Plain text from a template.</summary>
    Text,

    /// <summary>JSON from a template.</summary>
    Json,

    /// <summary>Form fields from a template.</summary>
    Form,
}
