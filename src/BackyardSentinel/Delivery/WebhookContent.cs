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

/// <summary>The words of the garden file.</summary>
public static class WebhookContentWords
{
    /// <summary>As the garden file spells it: <c>standard</c>.</summary>
    public static string Word(this WebhookContent content) => content switch
    {
        WebhookContent.Standard => "standard",
        WebhookContent.Text => "text",
        WebhookContent.Json => "json",
        WebhookContent.Form => "form",
    };
}
