using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Scouting;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Watching;

/// <summary>
/// One planting through its year: bud stage, the rules side by side and the level that the driving rule gives it, cover,
/// and the weeks after a window in which curl shows.
/// </summary>
public sealed class PlantingWatch
{
    /// <summary>BBCH 67: most petals have fallen. Stone fruit has leaves by then (common practice, no source).</summary>
    private const int FlowersFade = 67;

    private readonly Site _site;
    private readonly Planting _planting;
    private readonly JournalEntry[]? _journal;
    private readonly Action<SentinelEvent> _tell;
    private readonly InfectionRule[] _rules;
    private readonly InfectionRule _driving;
    private readonly BudLooks _budLooks;
    private readonly CurlLooks _curlLooks;
    private readonly HashSet<(string Rule, DateTimeOffset OpenedAt)> _keptOff = [];
    private readonly List<InfectionWindow> _keptOffByDriving = [];
    private Level _level = Level.Unknown;
    private DateTimeOffset? _since;
    private int _nextEntry;
    private bool _uncertain, _unknown, _begun, _skyUnknown;
    private double _factor, _judgedFactor;
    private WetSpell? _spell;

    internal PlantingWatch(
        Site site,
        Planting planting,
        SeasonCalendar calendar,
        UsualHours? usual,
        IReadOnlyList<JournalEntry>? journal,
        Action<SentinelEvent> tell)
    {
        (_site, _planting, _tell) = (site, planting, tell);
        _journal = journal is null
            ? null
            :
            [
                .. journal
                    .Where(entry => entry.Site == site.Id && entry.Planting == planting.Id)
                    .OrderBy(entry => entry.On)
                    .ThenBy(entry => entry.Number),
            ];
        _rules = InfectionRules.All(site, planting.Id);
        _driving = _rules.Single(rule => rule.Name == site.LevelRule);
        Stage = new PlantingStage(site, planting, calendar, usual, _journal?.OfType<StageEntry>() ?? [], TellStage);
        _budLooks = new BudLooks(site, planting, Stage, tell);
        _curlLooks = new CurlLooks(site, planting, Stage, SymptomDays, tell);
        Cover = new PlantingCover(site, _journal?.OfType<SprayEntry>() ?? []);
        Shelter = new PlantingShelter(site, planting, _journal?.OfType<ShelterEntry>() ?? []);
    }

    /// <summary>The planting.</summary>
    public Planting Planting => _planting;

    /// <summary>Its bud stage.</summary>
    public PlantingStage Stage { get; }

    /// <summary>Its cover.</summary>
    public PlantingCover Cover { get; }

    /// <summary>Its rain shelter.</summary>
    public PlantingShelter Shelter { get; }

    /// <summary>The rules, the driving one among them.</summary>
    public IReadOnlyList<InfectionRule> Rules => _rules;

    /// <summary>The rules as they judge under the open sky, a rain shelter or not.</summary>
    internal IReadOnlyList<InfectionRule> RulesUnderOpenSky => Shelter.IsUsed ? Shelter.OpenSky : _rules;

    /// <summary>Windows whose curl has shown or may still show, oldest first.</summary>
    public IReadOnlyList<Incubation> Incubations => _curlLooks.Incubations;

    /// <summary>The days on which it could be infected, and those on which curl of that can show.</summary>
    public SymptomDays SymptomDays { get; } = new();

    /// <summary>The level that the open sky would give; <c>null</c> while no rain shelter is on.</summary>
    public Level? OpenSkyLevel => !Shelter.IsOn ? null
        : _skyUnknown ? Level.Unknown : UnderOpenSky.Level;

    /// <summary>The driving rule as it judges under the open sky, a rain shelter or not.</summary>
    public InfectionRule UnderOpenSky => Shelter.IsUsed ? Shelter.OpenSky.Single(rule => rule.Name == _driving.Name) : _driving;

    /// <summary>The windows by the driving rule that its rain shelter has kept off since it was last put on, oldest first.</summary>
    public IReadOnlyList<InfectionWindow> KeptOff => _keptOffByDriving;

    /// <summary>The standing judgement.</summary>
    public PlantingRisk Risk => new(
        _planting.Id,
        _level,
        _since,
        Rules.ToDictionary(rule => rule.Name, rule => _unknown ? Level.Unknown : rule.Level),
        _unknown ? null : _driving.FractionReached,
        _uncertain,
        [.. Rules.Where(rule => rule.OpenWindow is not null).Select(rule => rule.OpenWindow!.Value)])
    {
        Stage = Stage.Code,
        StageSure = Stage.IsSure,
        Susceptibility = _factor,
        Sheltered = Shelter.IsOn,
        Spell = _spell,
        Cover = CoverNow,
    };

    /// <summary>The level by the driving rule.</summary>
    internal Level Level => _level;

    /// <summary>When this level began, UTC; <c>null</c> before the first interval.</summary>
    internal DateTimeOffset? Since => _since;

    /// <summary>How far the tissue can be infected, 0–1.</summary>
    internal double Susceptibility => _factor;

    /// <summary>The factor by which the last interval was judged; what followed it may have moved the buds.</summary>
    internal double JudgedSusceptibility => _judgedFactor;

    /// <summary>What is left of a protectant; <c>null</c> without a journal.</summary>
    internal Garden.Cover? CoverNow => _journal is null ? null : Cover.Cover;

    /// <summary>Where the forecast would lead the driving rule; <c>null</c>: to no window, or a rain shelter keeps the rain off.</summary>
    internal WindowOutlook? LookAhead(WetSpellTracker sky, DateTimeOffset from, IReadOnlyList<ForecastHour> forecast) =>
        Shelter.IsOn ? null
        : WindowOutlook.Of(_driving, Shelter.IsUsed ? Shelter.Spells : sky, from, forecast, _site.Spell.WetHumidityPct, _factor);

    /// <summary>The level at the end of each hour ahead: clear under a rain shelter and where nothing can be infected.</summary>
    internal IReadOnlyList<Level> LevelsAhead(WetSpellTracker sky, WeatherAhead ahead) => Shelter.IsOn || _factor <= 0
        ? [.. ahead.Hours.Select(_ => Level.Clear)]
        : ahead.LevelsOf(_driving, Shelter.IsUsed ? Shelter.Spells : sky, _factor);

    /// <summary>A local day begins, or the watch does: what the grower noted until then counts.</summary>
    internal void DayBegins(DateTimeOffset at, DateOnly today)
    {
        Stage.AdvanceTo(at);
        if (!Shelter.IsOn && Shelter.IsOnAt(today))
            _keptOffByDriving.Clear();
        Shelter.DayBegins(today);
        _factor = Stage.FactorOn(today);
        _budLooks.Note(at, today);
        for (; _journal is not null && _nextEntry < _journal.Length && _journal[_nextEntry].On <= today; _nextEntry++)
        {
            if (_journal[_nextEntry] is not ScoutEntry scouted || scouted.On != today)
                continue;
            // Leaves that have curled have been out for some days.
            if (scouted.Curled > 0)
                _curlLooks.LeavesSeen(today.AddDays(-Incubation.DaysAfterLeaves), today);
            _curlLooks.LookedOn(today);
            if (
                scouted is { Curled: > 0, Symptom: null or < SymptomStage.WhiteBloom }
                && ScoutingAdvice.BandOf(scouted.Shoots, scouted.Curled) < SeverityBand.Moderate
                && !_journal.OfType<PickEntry>().Any(pick => pick.On == scouted.On))
                _tell(new PickingFellDue(_site.Id, at, _planting.Id, scouted.On, scouted.Curled, scouted.Shoots));
        }

        _curlLooks.DayBegins(at, today);
        _budLooks.DayBegins(at, today, _factor > 0);
    }

    /// <summary>Takes the next interval.</summary>
    internal void Observe(
        in WeatherInterval interval,
        Wetness wetness,
        in WetSpell? running,
        in WetSpell? ended,
        DateTimeOffset? evidenceUntil,
        bool doubtful,
        bool isRainKnown)
    {
        var sky = new RuleInput(interval, wetness, running, ended, _factor, Stage.Code);
        if (Shelter.IsUsed)
            JudgeSheltered(sky, isRainKnown);
        else
            Judge(sky, isRainKnown);

        // Tissue that cannot be infected, or that a roof keeps dry, is clear whatever the sensors do; before the first evidence
        // nothing else is known. Where a sensor hangs under the roof that one is asked, and no other.
        var known = Shelter.IsOn ? Shelter.EvidenceUntil : evidenceUntil;
        _skyUnknown = _factor > 0 && IsUnknown(interval, evidenceUntil);
        _unknown = _factor > 0 && (!Shelter.IsOn || Shelter.IsOnWithSensor) && IsUnknown(interval, known);
        _uncertain = _unknown || doubtful || _spell is { Uncertain: true };
        var level = _unknown ? Level.Unknown : _driving.Level;
        // Mostly it stays.
        if (level != _level || _since is null)
            MoveTo(level, _unknown ? known ?? _since ?? interval.Start : interval.End, interval.End);
    }

    private bool IsUnknown(in WeatherInterval interval, DateTimeOffset? evidenceUntil) =>
        evidenceUntil is not { } until || interval.EndTicks - until.UtcTicks > _site.UnknownAfter.Ticks;

    private void JudgeSheltered(in RuleInput sky, bool isRainKnown)
    {
        Judge(Shelter.Under(sky), isRainKnown || Shelter.IsOn);
        foreach (var rule in Shelter.OpenSky)
        {
            rule.Observe(sky with { Cover = CoverNow });
            TellSheltered(rule, sky.Interval.End);
        }
    }

    private void Judge(in RuleInput input, bool isRainKnown)
    {
        _spell = input.Spell;
        _judgedFactor = _factor;
        if (Cover.Add(input.Interval, isRainKnown))
            _tell(
                new CoverChanged(
                    _site.Id, input.Interval.End, _planting.Id, Cover.Cover, Cover.Last!.Product, Cover.Last.On, Cover.RainMm));
        if (_journal is null)
            Observe(input);
        else
            Observe(input with { Cover = Cover.Cover });
    }

    private void Observe(in RuleInput input)
    {
        foreach (var rule in _rules)
        {
            rule.Observe(input);
            if (rule.HasNews)
                Tell(rule, input.Interval.End);
        }
    }

    /// <summary>An hour's temperature is known.</summary>
    internal void Add(in HourTemperature hour)
    {
        Stage.Add(hour);
        var day = LocalDay.Of(hour.End, _site.Zone);
        _factor = Stage.FactorOn(day);
        _budLooks.Note(hour.End, day);
    }

    /// <summary>A local day is over; <paramref name="at"/> is its last interval's end.</summary>
    internal void DayOver(in DayWeather day, DateTimeOffset at)
    {
        var wasOpen = Stage.Open.ClosedOn is null;
        Stage.DayOver(day);
        _curlLooks.DayOver(day);
        if (_judgedFactor > 0 && (!Shelter.IsOn || Shelter.IsOnWithSensor))
            SymptomDays.NoteOpen(day.Day);
        // A watch that begins in late summer has no season to end.
        if (wasOpen && !Stage.IsOver(day.Day) && Stage.Open.ClosedOn is { } closed)
            _tell(
                new InfectionSeasonClosed(
                    _site.Id,
                    at,
                    _planting.Id,
                    closed,
                    Stage.Open.ClosedBecause!,
                    Stage.Open.ClosedByWarmth,
                    Incubations.Count > 0)
                {
                    Sheltered = Shelter.IsOn,
                });
    }

    /// <summary>The log is over: closes open windows.</summary>
    internal void Finish(WetSpell? ended, DateTimeOffset at)
    {
        var own = Shelter.IsUsed ? Shelter.Finish() : ended;
        foreach (var rule in _rules)
        {
            rule.Finish(own);
            Tell(rule, at);
        }

        foreach (var rule in Shelter.OpenSky)
        {
            rule.Finish(ended);
            TellSheltered(rule, at);
        }
    }

    /// <summary>
    /// A window that opens while the shelter is on is kept as one that it kept off, without a level or a look to follow; not
    /// where the planting has one of its own by the same rule, by the sensor under the shelter.
    /// </summary>
    private void TellSheltered(InfectionRule rule, DateTimeOffset at)
    {
        if (rule.Opened is { } opened && Shelter.IsOn && !Array.Exists(_rules, own => own.Name == rule.Name && own.OpenWindow is not null))
        {
            _keptOff.Add((opened.Rule, opened.OpenedAt));
            if (opened.Rule == _driving.Name)
                _keptOffByDriving.Add(opened with { Sheltered = true });
            _tell(new InfectionWindowOpened(_site.Id, at, opened with { Sheltered = true }));
        }

        if (rule.Closed is { } closed && _keptOff.Remove((closed.Rule, closed.OpenedAt)))
            _tell(new InfectionWindowClosed(_site.Id, at, closed with { Sheltered = true }));
    }

    private void Tell(InfectionRule rule, DateTimeOffset at)
    {
        // A window may open and close in one interval, as on the last one of a rain day.
        if (rule.Opened is { } opened)
        {
            if (rule == _driving)
                _curlLooks.Opened(opened.OpenedAt);
            _tell(new InfectionWindowOpened(_site.Id, at, opened));
        }

        if (rule.Closed is { } closed)
            _tell(new InfectionWindowClosed(_site.Id, at, closed));
    }

    private void TellStage(StageReached reached)
    {
        if (reached.Source == StageSource.Logged)
        {
            _budLooks.Seen(reached.On);
            if (reached.Stage == BudStage.Dormant)
                _curlLooks.SeenShut(reached.At);
            if (reached.Stage is { IsFlowerBud: true, Code: >= FlowersFade })
                _curlLooks.LeavesSeen(reached.On, reached.On);
        }

        _tell(
            new BudStageReached(
                _site.Id,
                reached.At,
                _planting.Id,
                reached.Stage.Code,
                reached.On,
                reached.Source == StageSource.Logged,
                reached.Early,
                reached.Late));
    }

    private void MoveTo(Level next, DateTimeOffset from, DateTimeOffset at)
    {
        // Until something is known to begin with there is no change, unless there is something to say at once.
        var (before, first) = (_level, !_begun && next <= Level.Clear);
        (_level, _since) = (next, from);
        _begun |= next >= Level.Clear;
        if (!first)
            _tell(new LevelChanged(_site.Id, at, _planting.Id, before, next, from));
    }
}
