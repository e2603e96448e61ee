using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Delivery;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>send_to</c>.</summary>
internal static class ReceiverReader
{
    private static readonly string[] WebhookOnly = ["url", "content", "template", "template_file", "headers", "secret", "allow_private"];

    // The program or the protocol sets these itself (RFC 9110; the webhook- ones sign the request).
    private static readonly HashSet<string> OwnHeaders = new(StringComparer.OrdinalIgnoreCase)
    {
        "host", "connection", "content-length", "transfer-encoding", "webhook-id", "webhook-timestamp", "webhook-signature",
    };

    /// <summary>The receiver, or <c>null</c> when its kind is missing or wrong.</summary>
    public static ReceiverSettings? Read(YamlMapping map, Dictionary<string, YamlNode> ids, ProblemList problems)
    {
        SectionReader keys = new(map, AlertKeys.Destination, problems);
        var id = IdText.Read(keys, ids, $"destination", problems, $"a name in messages", $"messages");
        var kind = keys.Choice<ReceiverKind>("kind", ReceiverKindWords.Word);
        var receiver = new ReceiverSettings
        {
            Id = id,
            Kind = kind ?? ReceiverKind.Webhook,
            Url = SecretKeys.Address(keys, "url", problems),
            Content = keys.Choice<WebhookContent>("content", WebhookContentWords.Word) ?? WebhookContent.Standard,
            Template = Template(keys, problems),
            TemplatePath = FileKeys.Path(keys, "template_file", problems),
            Headers = Headers(keys.List("headers"), problems),
            Secret = SecretKeys.Reference(keys, "secret", $"signing key", problems),
            AllowPrivate = keys.Flag("allow_private"),
            UsefulFor = keys.Duration("useful_for"),
        };
        if (kind is null)
            return null;
        CheckTogether(keys, receiver, problems);
        return receiver;
    }

    // A template is the one value of the file that may run over several lines.
    private static string? Template(SectionReader keys, ProblemList problems)
    {
        if (keys.Scalar("template") is not { } scalar)
            return null;
        if (!string.IsNullOrWhiteSpace(scalar.Value) && scalar.Value.Length <= 8192)
            return scalar.Value;
        problems.Error(scalar, $"'template' is empty or longer than 8192 characters", keys.Range("template"));
        return null;
    }

    public static List<ReceiverHeader> Headers(IReadOnlyList<YamlMapping> maps, ProblemList problems)
    {
        List<ReceiverHeader> headers = [];
        foreach (var map in maps)
        {
            SectionReader keys = new(map, AlertKeys.Header, problems);
            var (name, value) = (keys.Text("name"), SecretKeys.Value(keys, "value", $"header's value", problems));
            if (name is null)
                continue;
            if (!name.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_'))
                problems.Error(keys.Place("name"), $"{ProblemList.Quote(name)} cannot be the name of a header", keys.Range("name"));
            else if (OwnHeaders.Contains(name))
                problems.Error(keys.Place("name"), $"the header {new Name(name)} is set by the program itself", $"another header");
            else if (headers.Exists(h => h.Name.Equals(name, StringComparison.OrdinalIgnoreCase)))
                problems.Error(keys.Place("name"), $"the header {new Name(name)} is in this list already", $"each header once");
            else if (value?.Plain is { } plain && plain.Any(c => !char.IsAscii(c)))
                problems.Error(
                    keys.Place("value"),
                    $"the value of the header {new Name(name)} holds a character that no header can carry",
                    keys.Range("value"));
            else if (value is not null)
                headers.Add(
                    new ReceiverHeader(
                        name,
                        value,
                        // A key that stands in the file all the same is not shown either.
                        value.IsSecret || name.Equals("authorization", StringComparison.OrdinalIgnoreCase)));
            if (value is { IsSecret: false } && name.Equals("authorization", StringComparison.OrdinalIgnoreCase))
                problems.Note(
                    keys.Place("value"),
                    $"the header {new Name(name)} usually carries a key, which in this file ends up in backups and screenshots",
                    $"file:PATH or env:NAME");
        }

        return headers;
    }

    private static void CheckTogether(SectionReader keys, ReceiverSettings receiver, ProblemList problems)
    {
        if (receiver.Kind != ReceiverKind.Webhook)
        {
            foreach (var name in WebhookOnly.Where(keys.Has))
                problems.Error(
                    keys.Place(name),
                    $"'{new Name(name)}' has a meaning for webhooks only, and this destination is {new Name(receiver.Kind.Word())}",
                    $"no '{new Name(name)}' here");
            return;
        }

        if (!keys.Has("url"))
            problems.Error(
                keys.Map, $"the webhook '{new Name(receiver.Id)}' has no 'url', so it is not known where to send", keys.Range("url"));
        if (keys.Has("template") && keys.Has("template_file"))
            problems.Error(
                keys.Place("template_file"),
                $"there are both 'template' and 'template_file'; a body is made from one",
                $"one of the two keys");
        var templates = keys.Has("template") || keys.Has("template_file");
        if (receiver.Content == WebhookContent.Standard && templates)
            problems.Error(
                keys.Place(keys.Has("template") ? "template" : "template_file"),
                $"the standard body is made without a template",
                $"content: text, json or form beside a template, or no template");
        if (receiver.Content is WebhookContent.Json or WebhookContent.Form && !templates)
            problems.Error(
                keys.Place("content"),
                $"a {new Name(receiver.Content.Word())} body is made from a template, and there is none",
                $"'template' or 'template_file' as well");
    }
}
