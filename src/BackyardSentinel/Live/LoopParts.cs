using BackyardSentinel.Alerting;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Garden;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>What the loop works with beside sensors and store. Every part may be missing.</summary>
public sealed record LoopParts
{
    /// <summary>The grower's journal; the loop looks for new lines each second.</summary>
    public JournalBook? Journal { get; init; }

    /// <summary>The grower's answers to alerts; looked for with the journal.</summary>
    public AnswerBook? Answers { get; init; }

    /// <summary>The season is remembered for drawing, by the <see cref="AlmanacKeeper"/> of the board.</summary>
    public bool KeepAlmanac { get; init; }

    /// <summary>How much a phone may be asked to bear.</summary>
    public AlertPolicyOptions Alerts { get; init; } = new();

    /// <summary>Where alerts go; <c>null</c>: they are decided on and go nowhere.</summary>
    public AlertOutbox? Outbox { get; init; }

    /// <summary>The topic that forecasts come by, with the map to read them; <c>null</c>: none does.</summary>
    public (string Topic, ForecastMap? Map)? ForecastTopic { get; init; }

    /// <summary>The topic that answers to alerts come by; <c>null</c>: none does.</summary>
    public string? AnswerTopic { get; init; }

    /// <summary>Forecasts that came by another way; taken up by the loop's thread.</summary>
    public ForecastInlet Forecasts { get; init; } = new();

    /// <summary>Asked each hour, and when a forecast has come, what lies ahead.</summary>
    public Func<Outlook, IEnumerable<Occasion>>? LookAhead { get; init; }

    /// <summary>The link to the sensors is up; <c>null</c>: there is none, and what is offered to the loop is all there is.</summary>
    public Func<bool>? IsListening { get; init; }

    /// <summary>A time server has set the computer's clock; <c>null</c>: that is never known.</summary>
    public Func<bool>? IsClockSet { get; init; }

    /// <summary>Told each sensor's message with the moment at which it was taken up; must neither wait nor throw.</summary>
    public Action<ArrivedMessage, DateTimeOffset>? OnMessage { get; init; }

    /// <summary>Told the watches whenever their topics are published.</summary>
    public Action<IEnumerable<SiteWatch>>? OnPublished { get; init; }

    /// <summary>Told each minute which troubles with sensors and the clock stand.</summary>
    public Action<IEnumerable<Occasion>>? OnTroubles { get; init; }

    /// <summary>Asked each minute how the installation itself is.</summary>
    public Func<DateTimeOffset, IEnumerable<Occasion>>? LookAround { get; init; }
}

/// <summary>What is known when the loop looks ahead.</summary>
/// <param name="Watches">The watches by site id.</param>
/// <param name="Journal">The journal's sound entries.</param>
/// <param name="Forecast">The last forecast, unless it is stale.</param>
/// <param name="Now">Now, UTC.</param>
public readonly record struct Outlook(
    IReadOnlyDictionary<string, SiteWatch> Watches,
    IReadOnlyList<JournalEntry> Journal,
    Forecast? Forecast,
    DateTimeOffset Now);
