using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;

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
    public override string Key =>
        $"{Site}/{Window.Planting}/{Window.Rule}-{(Window.Sheltered ? "sheltered-" : "")}opened/{Stamp(Window.OpenedAt)}";
}

/// <summary>An infection window has closed.</summary>
public sealed record InfectionWindowClosed(string Site, DateTimeOffset At, InfectionWindow Window) : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key =>
        $"{Site}/{Window.Planting}/{Window.Rule}-{(Window.Sheltered ? "sheltered-" : "")}closed/{Stamp(Window.OpenedAt)}";
}

/// <summary>A planting's level, as the driving rule judges it, has changed.</summary>
public sealed record LevelChanged(string Site, DateTimeOffset At, string Planting, Level From, Level To, DateTimeOffset Since)
    : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key => $"{Site}/{Planting}/level-{To.ToString().ToLowerInvariant()}/{Stamp(Since)}";
}

/// <summary>A planting has reached a bud stage, seen or computed.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it became known, UTC.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="Code">BBCH code.</param>
/// <param name="On">The local day.</param>
/// <param name="Logged">The grower saw it; otherwise it is computed.</param>
/// <param name="Early">The day on which it would have come with lower needs.</param>
/// <param name="Late">The day on which it would come with higher needs; <c>null</c> while that is not known.</param>
public sealed record BudStageReached(
    string Site, DateTimeOffset At, string Planting, int Code, DateOnly On, bool Logged, DateOnly? Early, DateOnly? Late)
    : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key =>
        string.Create(
            System.Globalization.CultureInfo.InvariantCulture,
            $"{Site}/{Planting}/stage-{Code:00}-{(Logged ? "seen" : "computed")}/{On:yyyyMMdd}");
}

/// <summary>A planting's leaf buds are no longer known to be shut, or are known to be open, or were seen shut again.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it became known, UTC.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="From">The state before.</param>
/// <param name="To">The state now.</param>
/// <param name="On">The local day from which it holds.</param>
public sealed record BudsChanged(string Site, DateTimeOffset At, string Planting, BudState From, BudState To, DateOnly On)
    : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key =>
        string.Create(
            System.Globalization.CultureInfo.InvariantCulture,
            $"{Site}/{Planting}/buds-{To.ToString().ToLowerInvariant()}/{On:yyyyMMdd}");
}

/// <summary>It is time to look at the buds: the sums cannot say whether they are still shut.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it fell due, UTC.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="Code">The stage that may have come, BBCH: 01 or 09.</param>
/// <param name="Expected">The expected tree has come to it; otherwise only the earliest one has.</param>
/// <param name="On">The local day.</param>
/// <param name="ATableWouldHelp">Much of the winter was not measured, and no table of monthly temperatures stands in for it.</param>
public sealed record BudLookFellDue(
    string Site,
    DateTimeOffset At,
    string Planting,
    int Code,
    bool Expected,
    DateOnly On,
    bool ATableWouldHelp
) : SentinelEvent(Site, At)
{
    /// <summary>They were seen to swell before.</summary>
    public bool SeenSwelling { get; init; }

    /// <inheritdoc/>
    public override string Key =>
        string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Site}/{Planting}/look-at-buds/{On:yyyyMMdd}");
}

/// <summary>A winter that was measured did not meet the chill of a planting's needs.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it became known, UTC.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day from which warmth alone counts.</param>
/// <param name="Chill">Chill by then, in the needs' units.</param>
/// <param name="Need">The chill needed.</param>
public sealed record NeedsFellShort(string Site, DateTimeOffset At, string Planting, DateOnly On, double Chill, double Need)
    : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key =>
        string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Site}/{Planting}/needs-fell-short/{On:yyyyMMdd}");
}

/// <summary>A planting's tissue can no longer be infected this season.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it became known, UTC.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="On">The local day from which it holds.</param>
/// <param name="Because">Why, in a few words.</param>
/// <param name="WarmDays">A week of warm days closed it; otherwise the tissue has hardened.</param>
/// <param name="CurlMayShow">Curl of earlier windows may still show.</param>
public sealed record InfectionSeasonClosed(
    string Site,
    DateTimeOffset At,
    string Planting,
    DateOnly On,
    string Because,
    bool WarmDays,
    bool CurlMayShow = false
) : SentinelEvent(Site, At)
{
    /// <summary>Its rain shelter is on, and may come off.</summary>
    public bool Sheltered { get; init; }

    /// <inheritdoc/>
    public override string Key =>
        string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Site}/{Planting}/season-closed/{On:yyyyMMdd}");
}

/// <summary>It is time to look at the shoots: curl from a window may show now, or is likely to.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it fell due, UTC.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="WindowOpenedAt">When the window opened, UTC.</param>
/// <param name="Likely">The likely days have come; otherwise the first possible one.</param>
/// <param name="LikelyFrom">First likely day.</param>
/// <param name="LikelyTo">Last likely day.</param>
/// <param name="MayNotDevelop">A warm day speaks against disease.</param>
public sealed record ScoutingFellDue(
    string Site,
    DateTimeOffset At,
    string Planting,
    DateTimeOffset WindowOpenedAt,
    bool Likely,
    DateOnly LikelyFrom,
    DateOnly LikelyTo,
    bool MayNotDevelop
) : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key => $"{Site}/{Planting}/scouting-{(Likely ? "likely" : "possible")}/{Stamp(WindowOpenedAt)}";
}

/// <summary>Curl was found before its white bloom: picking helps now, if at all.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">When it fell due, UTC.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="ScoutedOn">The local day on which curl was found.</param>
/// <param name="Curled">Shoots with curl.</param>
/// <param name="Shoots">Shoots looked at.</param>
public sealed record PickingFellDue(string Site, DateTimeOffset At, string Planting, DateOnly ScoutedOn, int Curled, int Shoots)
    : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key =>
        string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Site}/{Planting}/picking/{ScoutedOn:yyyyMMdd}");
}

/// <summary>Rain has taken so much of a protectant that its cover counts as less.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="At">The end of the interval, UTC.</param>
/// <param name="Planting">The planting's id.</param>
/// <param name="Cover">What is left.</param>
/// <param name="Product">The product's id.</param>
/// <param name="SprayedOn">The local day of the spray.</param>
/// <param name="RainMm">Rain since it dried, mm.</param>
public sealed record CoverChanged(
    string Site,
    DateTimeOffset At,
    string Planting,
    Cover Cover,
    string Product,
    DateOnly SprayedOn,
    double RainMm
) : SentinelEvent(Site, At)
{
    /// <inheritdoc/>
    public override string Key =>
        string.Create(
            System.Globalization.CultureInfo.InvariantCulture,
            $"{Site}/{Planting}/cover-{Cover.ToString().ToLowerInvariant()}/{SprayedOn:yyyyMMdd}");
}
