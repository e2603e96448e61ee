using BackyardSentinel.Infection;

namespace BackyardSentinel.Events;

/// <summary>A fact that the sentinel has come to know. Its key is stable: a rebuild from the same inputs gives the same keys.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">The end of the interval at which it became known, UTC.</param>
public abstract record SentinelEvent(string Site, DateTimeOffset At)
{
    /// <summary>Site, planting or <c>-</c>, kind and start: the same fact always has the same key.</summary>
    public abstract string Key { get; }

    private protected static string Stamp(DateTimeOffset time) =>
        time.UtcDateTime.ToString("yyyyMMdd'T'HHmmss'Z'", System.Globalization.CultureInfo.InvariantCulture);
}

/// <summary>A wet spell has started.</summary>
public sealed record WetSpellStarted(string Site, DateTimeOffset At, WetSpell Spell) : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key => $"{Site}/-/spell-started/{Stamp(Spell.Start)}";
}

/// <summary>A wet spell has ended: its dry gap exceeded the limit, or the log ended.</summary>
public sealed record WetSpellEnded(string Site, DateTimeOffset At, WetSpell Spell) : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key => $"{Site}/-/spell-ended/{Stamp(Spell.Start)}";
}

/// <summary>An infection window has opened on a planting.</summary>
public sealed record InfectionWindowOpened(string Site, DateTimeOffset At, InfectionWindow Window) : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key => $"{Site}/{Window.Planting}/{Window.Rule}-opened/{Stamp(Window.OpenedAt)}";
}

/// <summary>An infection window has closed.</summary>
public sealed record InfectionWindowClosed(string Site, DateTimeOffset At, InfectionWindow Window) : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key => $"{Site}/{Window.Planting}/{Window.Rule}-closed/{Stamp(Window.OpenedAt)}";
}

/// <summary>A planting's level, as the driving rule judges it, has changed.</summary>
public sealed record LevelChanged(string Site, DateTimeOffset At, string Planting, Level From, Level To, DateTimeOffset Since)
    : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key => $"{Site}/{Planting}/level-{To.ToString().ToLowerInvariant()}/{Stamp(Since)}";
}
