using BackyardSentinel.Delivery;
using BackyardSentinel.Infection;
using static BackyardSentinel.Configuration.Keys.Forms;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The keys of the alerts and of those who get them.</summary>
public static class AlertKeys
{
    private static readonly string[] Webhook = [ReceiverKind.Webhook.Word()];

    /// <summary>Keys under <c>alerts</c>.</summary>
    public static GardenSection Alerts { get; } = new("alerts", $"'alerts'", [
        new(
            "least_level",
            OneOf(Enum.GetValues<Level>().Where(level => level >= Level.Building).Order().Select(LevelWords.Word)),
            "The lowest level that sends a message.",
            Level.Possible.Word()),
        new("max_per_day", Whole(1, 50), "Most messages on one day; what is above it is summed up the next morning.", "6"),
        new("quiet_from", TimeOfDay, "Start of the quiet hours, by the clock of the first site; messages wait for their end."),
        new("quiet_to", TimeOfDay, "End of the quiet hours."),
        new("severe_in_quiet", YesNo, "Tell a severe level in quiet hours too.", "false"),
        new("words", FilePath, "A file with words of your own for alerts, page and report."),
        new(
            "heartbeat",
            Address,
            "An address fetched at a steady pace, so that a watcher elsewhere notices when this computer falls silent."),
        new("heartbeat_every", Duration("5m", "24h"), "The heartbeat's pace.", "60m"),
        new("send_to", List("destination", $"a list of destinations"), "Who gets alerts."),
    ])
    {
        Rules = [new Together("quiet_from", "quiet_to")],
    };

    /// <summary>Keys of one entry of <c>send_to</c>.</summary>
    public static GardenSection Destination { get; } = new("destination", $"a destination", [
        new("id", Identifier, "Short name used in messages.") { Required = true },
        new(
            "kind",
            OneOf(Enum.GetValues<ReceiverKind>().Select(ReceiverKindWords.Word)),
            "webhook: an HTTP request; topic: an MQTT message under topic_root; dry-run: written to the log and sent nowhere.")
        {
            Required = true,
        },
        new("url", Address, "Webhook only: where to send. Required there; keep it elsewhere if it holds a key."),
        new(
            "content",
            OneOf(Enum.GetValues<WebhookContent>().Select(WebhookContentWords.Word)),
            "Webhook only: the standard JSON body, or one made from a template.",
            WebhookContent.Standard.Word()),
        new(
            "template",
            Text(8192, $"1 to 8192 characters; '|' and indented lines below it for several lines"),
            "Webhook only: the body's template. With json and form this or template_file is required."),
        new("template_file", FilePath, "Webhook only: a file with the body's template."),
        new("headers", List("header", $"a list of headers"), "Webhook only: headers of the request."),
        new(
            "secret",
            Elsewhere,
            "Webhook only: where the key is that requests are signed with; never the key itself."),
        new("allow_private", YesNo, "Webhook only: the address may lie in your own network.", "false"),
        new("useful_for", Duration("1h", "72h"), "How long a message is worth sending when the way is broken.", "24h"),
    ])
    {
        Rules =
        [
            new OnlyWith("kind", Webhook, "url", "content", "template", "template_file", "headers", "secret", "allow_private"),
            new NeededWith("kind", Webhook, "url"),
            new NeededWith("content", [WebhookContent.Json.Word(), WebhookContent.Form.Word()], "template", "template_file"),
            new NotBoth("template", "template_file"),
        ],
    };

    /// <summary>Keys of one entry of <c>headers</c>.</summary>
    public static GardenSection Header { get; } = new("header", $"a header", [
        new("name", Text(64, $"1 to 64 letters, digits, '-' or '_'", "^[A-Za-z0-9_-]{1,64}$"), "The header's name.") { Required = true },
        new("value", Text(2048, $"ASCII text, file:PATH or env:NAME"), "Its value; keep it elsewhere if it is a key.") { Required = true },
    ]);
}
