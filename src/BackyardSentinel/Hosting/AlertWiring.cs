using BackyardSentinel.Alerting;
using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Guards;
using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using BackyardSentinel.Web.Access;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>
/// What the garden file says about alerts, made into the parts that carry them out: policy, words, receivers, heartbeat.
/// Secrets are fetched and templates read once, at the start, so that what is missing is told before the first alert.
/// </summary>
/// <remarks>
/// All requests go through two handlers, one for public addresses and one for receivers that may lie in the own network.
/// Each keeps its connections for five minutes, so that a changed address is noticed; this object owns both.
/// </remarks>
public sealed class AlertWiring : IDisposable
{
    private readonly GardenFile _garden;
    private readonly Uri? _heartbeat, _page;
    private readonly HttpMessageInvoker _public = new(PublicAddress.Handler(allowPrivate: false));
    private readonly HttpMessageInvoker _private = new(PublicAddress.Handler(allowPrivate: true));

    private AlertWiring(GardenFile garden)
    {
        _garden = garden;
        Policy = PolicyOf(garden);
        Words = WordsOf(garden);
        Receivers = [.. garden.Alerts.Receivers.Select(AlertWiringReceivers.Fetched)];
        _page = garden.Page is { } page && (page.Address is not null || !page.IsLocal) ? HostNames.AddressOf(page, page.Port) : null;
        _heartbeat = garden.Alerts.Heartbeat is { } address ? AlertWiringReceivers.Address(address, "The heartbeat") : null;
    }

    /// <summary>How much a phone may be asked to bear; days and quiet hours are those of the first site's zone.</summary>
    public AlertPolicyOptions Policy { get; }

    /// <summary>The words of the messages.</summary>
    public AlertWords Words { get; }

    /// <summary>The receivers' settings in the order of the garden file, secrets fetched.</summary>
    public IReadOnlyList<ReceiverSettings> Receivers { get; }

    /// <summary>Reads what the garden file points to.</summary>
    /// <param name="garden">The garden.</param>
    /// <exception cref="WiringProblemException">Something it points to is missing or wrong.</exception>
    public static AlertWiring Of(GardenFile garden)
    {
        ArgumentNullException.ThrowIfNull(garden);
        return new AlertWiring(garden);
    }

    /// <summary>The zone of a site; of <c>null</c> or a site that is no more, the garden's.</summary>
    /// <param name="site">The site's id.</param>
    public TimeZoneInfo ZoneOf(string? site) => _garden.Sites.FirstOrDefault(one => one.Id == site)?.Zone ?? Policy.Zone;

    /// <summary>The alert as it goes out, in the words of the garden file.</summary>
    /// <param name="alert">The alert.</param>
    public AlertMessage Say(Alert alert)
    {
        var message = Words.Say(alert, ZoneOf, NamesOf(_garden)).For(alert);
        // Most templates of receivers know the text alone, so the link stands in it too.
        return _page is { } page && new Uri(page, "/alert/" + Uri.EscapeDataString(message.Id)) is var link
            ? message with { Link = link.ToString(), Text = $"{message.Text}\n{link}" }
            : message;
    }

    /// <summary>What the garden file calls its things.</summary>
    /// <param name="garden">The garden.</param>
    public static AlertNames NamesOf(GardenFile garden) => new(
        (site, planting) => garden.Sites.FirstOrDefault(one => one.Id == site)?.Plantings.FirstOrDefault(one => one.Id == planting)?.Name,
        series => garden.Series.FirstOrDefault(one => one.Name == series)?.Label,
        (site, quantity, rank) => SeriesMap.OneOfSeveral(garden.Series, site, quantity, rank));

    /// <summary>The outbox through which alerts reach the receivers.</summary>
    /// <param name="onCommitted">Told when rows are on disk.</param>
    /// <param name="onAlert">Told each new alert once it is on disk.</param>
    public AlertOutbox Outbox(Action? onCommitted = null, Action<AlertMessage>? onAlert = null) =>
        new(Receivers, Say, onCommitted, onAlert);

    /// <summary>The receivers, ready to send.</summary>
    /// <param name="publish">Publishes to a topic without the retain flag; done when the broker has it, and throws when it has not.</param>
    /// <param name="output">Where dry runs are written.</param>
    /// <param name="time">The clock of timeouts and signatures.</param>
    /// <param name="clockIsTrusted">The computer's clock is set; signed messages wait until it is.</param>
    /// <exception cref="WiringProblemException">An address, a secret or a template is not what it must be.</exception>
    public IReadOnlyList<IAlertReceiver> Connect(
        Func<string, ReadOnlyMemory<byte>, CancellationToken, Task> publish,
        TextWriter output,
        TimeProvider time,
        Func<bool> clockIsTrusted
    ) =>
        [
            .. Receivers.Select(settings =>
                settings.Kind switch
                {
                    ReceiverKind.Webhook => Webhook(settings, time, clockIsTrusted),
                    ReceiverKind.Topic => new TopicReceiver(settings.Id, _garden.Broker.TopicRoot, publish),
                    ReceiverKind.DryRun => (IAlertReceiver)new DryRunReceiver(settings.Id, output),
                }),
        ];

    /// <summary>The heartbeat; <c>null</c> where none is asked for. It goes to public addresses only.</summary>
    /// <param name="isWell">Readings are taken and judged.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    public Heartbeat? Heartbeat(Func<bool> isWell, TimeProvider time, ILogger log) =>
        _heartbeat is { } address ? new Heartbeat(address, _garden.Alerts.HeartbeatEvery, _public, isWell, time, log) : null;

    /// <inheritdoc/>
    public void Dispose()
    {
        _public.Dispose();
        _private.Dispose();
    }

    private WebhookReceiver Webhook(ReceiverSettings settings, TimeProvider time, Func<bool> clockIsTrusted) =>
        WebhookReceiver.TryCreate(
            settings,
            settings.AllowPrivate ? _private : _public,
            time,
            clockIsTrusted,
            out var receiver,
            out var reason)
            ? receiver!
            : throw new WiringProblemException(reason!);

    /// <summary>What the policy goes by. A phone is in one place: its nights and mornings are those of the first site.</summary>
    /// <param name="garden">The garden.</param>
    public static AlertPolicyOptions PolicyOf(GardenFile garden) => garden.Alerts.Policy with { Zone = garden.Sites[0].Zone };

    /// <summary>What is wrong with the garden's file of words; <c>null</c>: nothing, or there is no such file.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="gaps">In what it differs from the built-in one without harm; <c>null</c>: it is wrong or is not there.</param>
    public static string? FaultOfWords(GardenFile garden, out WordsGaps? gaps)
    {
        gaps = null;
        try
        {
            if (File.Exists(garden.Alerts.WordsPath))
                gaps = WordsOf(garden).Gaps;
            return null;
        }
        catch (WiringProblemException problem)
        {
            return problem.Message;
        }
    }

    /// <summary>The words in which a garden's alerts are told: those of its file, or the built-in ones of its language.</summary>
    /// <param name="garden">The garden.</param>
    /// <exception cref="WiringProblemException">The file is missing or wrong.</exception>
    public static AlertWords WordsOf(GardenFile garden)
    {
        ArgumentNullException.ThrowIfNull(garden);
        var (path, language, units) = (garden.Alerts.WordsPath, garden.Language, garden.Units);
        if (path is null)
            return AlertWords.BuiltIn(language, units);
        try
        {
            return AlertWords.Read(AlertWiringReceivers.FileText(path, "words, named by 'words' under alerts"), path, units, language);
        }
        catch (WordsProblemException problem)
        {
            throw new WiringProblemException(problem.Message);
        }
    }
}
