using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Configuration;
using BackyardSentinel.Delivery;
using BackyardSentinel.Ingest;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Hosting;

/// <summary>Turns the garden file's words about alerts into what the policy, the words and the receivers take.</summary>
public static class AlertWiring
{
    /// <summary>How long a pooled connection is used before the address is looked up again.</summary>
    private static readonly TimeSpan ConnectionLife = TimeSpan.FromMinutes(15);

    /// <summary>What the policy goes by. Local days are those of the first site.</summary>
    public static AlertPolicyOptions Policy(GardenFile garden) => new()
    {
        Zone = garden.Sites[0].Zone,
        MaxPerDay = garden.Alerts.MaxPerDay,
        Quiet = garden.Alerts is { QuietFrom: { } from, QuietTo: { } to } ? new QuietHours(from, to) : null,
        SeverePassesQuiet = garden.Alerts.SevereInQuiet,
        LeastLevel = garden.Alerts.LeastLevel,
    };

    /// <summary>The words of messages: the garden file's own, or those that come with the program.</summary>
    /// <exception cref="WordsProblemException">The file is missing or wrong; the message says what to do.</exception>
    public static AlertWords Words(GardenFile garden)
    {
        if (garden.Alerts.WordsPath is not { } path)
            return AlertWords.English();
        try
        {
            return AlertWords.Read(File.ReadAllText(path), path);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new WordsProblemException($"The words of messages cannot be read from {path}: {failure.Message.TrimEnd('.')}. Put the file there, or leave the key 'words' out.");
        }
    }

    /// <summary>The zone in which a site's people live; without a site, the garden's.</summary>
    public static Func<string?, TimeZoneInfo> ZoneOf(GardenFile garden) =>
        site => (garden.Sites.FirstOrDefault(one => one.Id == site) ?? garden.Sites[0]).Zone;

    /// <summary>The alert as it goes out.</summary>
    /// <param name="alert">The alert.</param>
    /// <param name="text">Its words.</param>
    public static AlertMessage Message(Alert alert, AlertText text) => new(
        alert.Id, alert.Episode, alert.Site ?? "", alert.Planting, alert.Kind, alert.Level?.Word(), alert.Urgency.ToString().ToLowerInvariant(),
        alert.At, alert.UsefulUntil, text.Title, text.Body, alert.Occasions is [LevelRisen risen] ? Facts(risen) : AlertMessage.NoFacts);

    /// <summary>The receivers' settings with secrets and templates fetched.</summary>
    /// <param name="garden">The garden.</param>
    /// <exception cref="ReceiverProblemException">Something cannot be fetched; the message says what, without it.</exception>
    public static IReadOnlyList<ReceiverSettings> Settings(GardenFile garden) => [.. garden.Alerts.Receivers.Select(Settings)];

    /// <summary>The receiver of some settings.</summary>
    /// <param name="settings">The settings.</param>
    /// <param name="publish">Publishes to a topic, not retained; throws when the broker does not have it.</param>
    /// <param name="baseTopic">First part of our topics.</param>
    /// <param name="output">Where a dry run writes.</param>
    /// <param name="time">The clock.</param>
    /// <param name="clockIsTrusted">The computer's clock is set.</param>
    /// <exception cref="ReceiverProblemException">The settings cannot be used.</exception>
    public static IAlertReceiver Receiver(
        ReceiverSettings settings, Func<string, ReadOnlyMemory<byte>, CancellationToken, Task> publish, string baseTopic, TextWriter output, TimeProvider time, Func<bool> clockIsTrusted)
    {
        switch (settings.Kind)
        {
            case ReceiverKind.Topic:
                return new TopicReceiver(settings.Id, baseTopic, publish);
            case ReceiverKind.DryRun:
                return new DryRunReceiver(settings.Id, output);
            default:
                return WebhookReceiver.TryCreate(settings, Http(settings.AllowPrivate), time, clockIsTrusted, out var webhook, out var reason)
                    ? webhook!
                    : throw new ReceiverProblemException(reason!);
        }
    }

    /// <summary>
    /// Sends requests to addresses that the garden file names. One for each receiver, for as long as the program runs: a
    /// factory would only renew connections, which the handler does itself.
    /// </summary>
    /// <param name="allowPrivate">The address may lie in the own network.</param>
    public static HttpMessageInvoker Http(bool allowPrivate)
    {
        var handler = PublicAddress.Handler(allowPrivate);
        handler.PooledConnectionLifetime = ConnectionLife;
        return new HttpMessageInvoker(handler);
    }

    private static ReceiverSettings Settings(GardenReceiver receiver) => new()
    {
        Id = receiver.Id,
        Kind = receiver.Kind switch
        {
            "topic" => ReceiverKind.Topic,
            "dry-run" => ReceiverKind.DryRun,
            _ => ReceiverKind.Webhook,
        },
        Url = Fetch(receiver.Url, receiver.Id, "url"),
        Content = receiver.Content switch
        {
            "text" => WebhookContent.Text,
            "json" => WebhookContent.Json,
            "form" => WebhookContent.Form,
            _ => WebhookContent.Standard,
        },
        Template = receiver.TemplatePath is { } path ? ReadTemplate(path, receiver.Id) : receiver.Template,
        Headers = [.. receiver.Headers.Select(header => new ReceiverHeader(header.Name, Fetch(header.Value, receiver.Id, $"header {header.Name}")!, header.Value.IsSecret))],
        Secret = receiver.Secret is { } secret ? Fetch(new GardenValue(null, secret), receiver.Id, "secret") : null,
        AllowPrivate = receiver.AllowPrivate,
        UsefulFor = receiver.UsefulFor,
    };

    private static string? Fetch(GardenValue? value, string receiver, string what)
    {
        if (value is null)
            return null;
        return value.TryResolve(out var found, out var reason)
            ? found
            : throw new ReceiverProblemException($"The {what} of the receiver {receiver} cannot be had: {reason}.");
    }

    private static string ReadTemplate(string path, string receiver)
    {
        try
        {
            return File.ReadAllText(path);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new ReceiverProblemException($"The template of the receiver {receiver} cannot be read from {path}: {failure.Message.TrimEnd('.')}.");
        }
    }

    private static Dictionary<string, string> Facts(LevelRisen risen)
    {
        var facts = new Dictionary<string, string> { ["rule"] = risen.Rule, ["since"] = risen.Since.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture) };
        Add("wet_hours", risen.WetHours);
        Add("rain_mm", risen.RainMm);
        Add("mean_temp_c", risen.MeanTempC);
        if (risen.Cover is { } cover)
            facts["cover"] = cover;
        return facts;

        void Add(string name, double? figure)
        {
            if (figure is { } known)
                facts[name] = known.ToString("0.0", CultureInfo.InvariantCulture);
        }
    }
}
