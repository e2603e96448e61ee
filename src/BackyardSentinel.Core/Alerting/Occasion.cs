using System.Globalization;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>
/// Something that may deserve a message. It states its facts and until when they are of use; <see cref="AlertPolicy"/> judges
/// whether it goes out and the words are found elsewhere. Closed: every kind stands in this folder.
/// </summary>
public abstract record Occasion
{
    private protected Occasion(string? site, DateTimeOffset at) => (Site, At) = (site, at.ToUniversalTime());

    /// <summary>The site's id; <c>null</c>: the whole installation.</summary>
    public string? Site { get; }

    /// <summary>When it came about, UTC.</summary>
    public DateTimeOffset At { get; }

    /// <summary>The planting's id; <c>null</c>: not about one planting.</summary>
    public virtual string? Planting => null;

    /// <summary>The kind's word, such as <c>level-risen</c>: lower case and hyphens.</summary>
    public abstract string Kind { get; }

    /// <summary>The story it belongs to, such as one wet spell on one planting. Stable: the same inputs give the same text.</summary>
    public abstract string Episode { get; }

    /// <summary>What it is about whatever the episode; two occasions of one subject in short succession are flapping.</summary>
    public abstract string Subject { get; }

    /// <summary>How far its episode has come. An episode tells each rung once, rising; a fall is not told.</summary>
    public virtual int Rung => 0;

    /// <summary>After this moment telling it is of no use any more, UTC.</summary>
    public abstract DateTimeOffset UsefulUntil { get; }

    /// <summary>When what it tells had ended before it was told, UTC; <c>null</c>: it stands, or is no state.</summary>
    public virtual DateTimeOffset? EndedAt => null;

    /// <summary>How urgent it is.</summary>
    public abstract Urgency Urgency { get; }

    /// <summary>The level it is about, if any.</summary>
    public virtual Level? Level => null;

    /// <summary>A level of danger that is told even when the day's count is used up.</summary>
    public virtual bool IsSevere => false;

    /// <summary>What it waits for before it goes out.</summary>
    public abstract Wait Wait { get; }

    /// <summary>Writes what is known of it beside its site, its plantings and its time, each fact once.</summary>
    /// <param name="facts">Takes the facts.</param>
    public abstract void WriteFacts(IFactWriter facts);

    private protected static string Stamp(DateTimeOffset time) =>
        time.UtcDateTime.ToString("yyyyMMdd'T'HHmmss'Z'", CultureInfo.InvariantCulture);

    private protected static string Stamp(DateOnly day) => day.ToString("yyyyMMdd", CultureInfo.InvariantCulture);

    private protected static DateTimeOffset Later(DateTimeOffset one, DateTimeOffset other) => one > other ? one : other;

    private protected static DateTimeOffset EndOf(DateOnly day) => new(day.ToDateTime(TimeOnly.MinValue).AddDays(1), TimeSpan.Zero);
}
