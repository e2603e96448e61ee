using BackyardSentinel.Garden;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Infection;

/// <summary>One documented way to judge infection on one planting. It keeps at most one open window.</summary>
/// <remarks>
/// Other limits may hold from a day on. They count from the first interval that begins on it, with the sums that run then, once
/// it is wet again; a
/// window that is open goes on by the limits by which it opened, and the next ones are judged by the new.
/// </remarks>
public abstract class InfectionRule(RuleName kind, string planting)
{
    private (DateTimeOffset At, RuleLimits Limits)[] _changes = [];
    private int _nextChange;

    /// <summary>Which of the rules it is.</summary>
    public RuleName Kind { get; } = kind;

    /// <summary>The name under which it judges: the rule's word, or a variant's.</summary>
    public string Name { get; private set; } = kind.Word();

    /// <summary>The rule's own level after the last interval.</summary>
    public Level Level { get; protected set; } = Level.Clear;

    /// <summary>The window that is open now, if any.</summary>
    public ref readonly InfectionWindow? OpenWindow => ref _open;

    /// <summary>While building: how much of the minimum is reached, 0–1.</summary>
    public double? FractionReached { get; protected set; }

    // Windows are large and asked for at each interval, nearly always to find that there is none: they are looked at where they lie.
    private InfectionWindow? _open, _opened, _closed;
    private int? _stage;
    private Cover? _cover;

    /// <summary>The rule's arithmetic as it stands: every condition with its figure.</summary>
    /// <param name="spell">The wet spell that runs, if any.</param>
    /// <param name="units">The units of what is told; figures stay °C, mm and h.</param>
    public abstract IReadOnlyList<RuleCondition> Explain(WetSpell? spell, UnitSystem units);

    /// <summary>What would change the level, from where the rule stands on tissue that can be infected: a sentence for each way.</summary>
    /// <param name="risk">How the planting is judged now.</param>
    /// <param name="site">The site.</param>
    public abstract IReadOnlyList<string> Change(PlantingRisk risk, Site site);

    /// <summary>Why nothing opened in a wet spell that has just ended, in a few words; <c>null</c>: its weather was enough.</summary>
    /// <param name="ended">The spell, under the sky that this rule judges; the rule has seen it up to its last interval.</param>
    /// <param name="units">The units of what is told.</param>
    public abstract string? Shortfall(in WetSpell ended, UnitSystem units);

    /// <summary>The rule as it stands, to go on by itself: to look ahead with.</summary>
    public InfectionRule Copy() => (InfectionRule)MemberwiseClone();

    /// <summary>What the rule lacks to judge at all, a sentence; <c>null</c>: nothing.</summary>
    public virtual string? Lacks => null;

    /// <summary>Takes the next interval; at most one window opens and one closes in it.</summary>
    public void Observe(in RuleInput input)
    {
        ForgetNews();
        (_stage, _cover) = (input.Stage, input.Cover);
        if (_nextChange < _changes.Length)
            TakeChanges(input.Interval.Start);
        Judge(input);
    }

    private void TakeChanges(DateTimeOffset at)
    {
        while (_nextChange < _changes.Length && OpenWindow is null && at >= _changes[_nextChange].At)
        {
            LimitsFrom = _changes[_nextChange].At;
            Take(_changes[_nextChange++].Limits);
        }
    }

    /// <summary>The log is over: closes the open window.</summary>
    public void Finish(WetSpell? endedSpell)
    {
        ForgetNews();
        CloseAtEnd(endedSpell);
        (Level, FractionReached) = (Level.Clear, null);
    }

    /// <summary>The last interval, or the end of the log, opened or closed a window: few do.</summary>
    internal bool HasNews { get; private set; }

    /// <summary>The window that the last interval opened.</summary>
    public ref readonly InfectionWindow? Opened => ref _opened;

    /// <summary>The window that the last interval, or the end of the log, closed.</summary>
    public ref readonly InfectionWindow? Closed => ref _closed;

    /// <summary>Makes it a variant: its name, and its limits from their days on.</summary>
    internal InfectionRule As(RuleVariant variant, TimeZoneInfo zone)
    {
        Name = variant.Name;
        _changes =
        [
            .. variant.Changes.Select(change => (
                change.From == DateOnly.MinValue ? DateTimeOffset.MinValue : LocalDay.StartOf(change.From, zone),
                change.Limits)),
        ];
        return this;
    }

    /// <summary>Since when the present limits hold, UTC: what was over by then is not opened by them.</summary>
    private protected DateTimeOffset LimitsFrom { get; private set; } = DateTimeOffset.MinValue;

    /// <summary>Other limits hold from now on.</summary>
    private protected abstract void Take(RuleLimits limits);

    /// <summary>Judges one interval.</summary>
    private protected abstract void Judge(in RuleInput input);

    /// <summary>Closes the open window at the end of the log.</summary>
    private protected abstract void CloseAtEnd(WetSpell? endedSpell);

    /// <summary>What each condition that is short still asks for, a sentence each.</summary>
    private protected IReadOnlyList<string> Asked(string how, UnitSystem units) =>
        [
            .. Explain(null, units)
                .Where(condition => condition.Lack is not null)
                .Select(condition => $"{condition.LackIn(units)} more {how} open a window ({condition.What})."),
        ];

    private protected void Open(InfectionWindow window)
    {
        _opened = _open = window with { Planting = planting, Rule = Name, Stage = _stage, Cover = _cover };
        HasNews = true;
    }

    private protected void Update(InfectionWindow window) => _open = window;

    private protected void Close(DateTimeOffset at)
    {
        _closed = _open!.Value with { ClosedAt = at };
        _open = null;
        HasNews = true;
    }

    private void ForgetNews()
    {
        if (HasNews)
            (_opened, _closed, HasNews) = (null, null, false);
    }
}
