using BackyardSentinel.Events;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Scouting;
using BackyardSentinel.Weather;

namespace BackyardSentinel;

/// <summary>
/// One planting through its year: bud stage, the rules side by side and the level that the driving rule gives it, cover,
/// and the weeks after a window in which curl shows.
/// </summary>
public sealed class PlantingWatch
{
    /// <summary>The buds are asked for once in so many days, and not so soon after they were seen.</summary>
    private const int DaysOfOneLook = 7;

    private readonly Site site;
    private readonly Planting planting;
    private readonly JournalEntry[]? journal;
    private readonly Action<SentinelEvent> tell;
    private readonly InfectionRule[] rules;
    private readonly InfectionRule driving;
    private readonly List<Incubation> incubations = [];
    private readonly HashSet<(string Rule, DateTimeOffset OpenedAt)> keptOff = [];
    private readonly List<InfectionWindow> keptOffByDriving = [];
    private Level level = Level.Unknown;
    private DateTimeOffset? since;
    private DateOnly? lastBudLook;
    private int askedFor;
    private bool needsTold;
    private int nextEntry;
    private BudState buds = BudState.Shut;
    private bool uncertain, unknown, begun, skyUnknown;
    private double factor;
    private WetSpell? spell;

    internal PlantingWatch(Site site, Planting planting, SeasonCalendar calendar, UsualHours? usual, IReadOnlyList<JournalEntry>? journal, Action<SentinelEvent> tell)
    {
        (this.site, this.planting, this.tell) = (site, planting, tell);
        this.journal = journal is null ? null : [.. journal.Where(entry => entry.Site == site.Id && entry.Planting == planting.Id).OrderBy(entry => entry.On).ThenBy(entry => entry.Number)];
        rules = InfectionRule.All(site, planting.Id);
        driving = rules.Single(rule => rule.Name == site.LevelRule);
        Stage = new PlantingStage(site, planting, calendar, usual, this.journal?.OfType<StageEntry>() ?? [], TellStage);
        Cover = new PlantingCover(site, this.journal?.OfType<SprayEntry>() ?? []);
        Shelter = new PlantingShelter(site, planting, this.journal?.OfType<ShelterEntry>() ?? []);
    }

    /// <summary>The planting.</summary>
    public Planting Planting => planting;

    /// <summary>Its bud stage.</summary>
    public PlantingStage Stage { get; }

    /// <summary>Its cover.</summary>
    public PlantingCover Cover { get; }

    /// <summary>Its rain shelter.</summary>
    public PlantingShelter Shelter { get; }

    /// <summary>The rules, the driving one among them.</summary>
    public IReadOnlyList<InfectionRule> Rules => rules;

    /// <summary>Windows whose curl has shown or may still show, oldest first.</summary>
    public IReadOnlyList<Incubation> Incubations => incubations;

    /// <summary>The level that the open sky would give; <c>null</c> while no rain shelter is on.</summary>
    public Level? OpenSkyLevel => !Shelter.IsOn ? null
        : skyUnknown ? Level.Unknown : Shelter.OpenSky.Single(rule => rule.Name == site.LevelRule).Level;

    /// <summary>The windows by the driving rule that its rain shelter has kept off since it was last put on, oldest first.</summary>
    public IReadOnlyList<InfectionWindow> KeptOff => keptOffByDriving;

    /// <summary>The standing judgement.</summary>
    public PlantingRisk Risk => new(
        planting.Id,
        level,
        since,
        Rules.ToDictionary(rule => rule.Name, rule => unknown ? Level.Unknown : rule.Level),
        unknown ? null : driving.FractionReached,
        uncertain,
        [.. Rules.Where(rule => rule.OpenWindow is not null).Select(rule => rule.OpenWindow!.Value)])
    {
        Stage = Stage.Code,
        StageSure = Stage.IsSure,
        Susceptibility = factor,
        Sheltered = Shelter.IsOn,
        Spell = spell,
        Cover = CoverNow,
    };

    private Spraying.Cover? CoverNow => journal is null ? null : Cover.Cover;

    /// <summary>A local day begins, or the watch does: what the grower noted until then counts.</summary>
    internal void DayBegins(DateTimeOffset at, DateOnly today)
    {
        Stage.AdvanceTo(at);
        if (!Shelter.IsOn && Shelter.IsOnAt(today))
            keptOffByDriving.Clear();
        Shelter.DayBegins(today);
        factor = Stage.FactorOn(today);
        NoteBuds(at, today);
        for (; journal is not null && nextEntry < journal.Length && journal[nextEntry].On <= today; nextEntry++)
        {
            if (journal[nextEntry] is not ScoutEntry scouted || scouted.On != today)
                continue;
            foreach (var incubation in incubations)
                incubation.LookedOn(today);
            if (scouted is { Curled: > 0, Symptom: null or < SymptomStage.WhiteBloom } && !journal.OfType<PickEntry>().Any(pick => pick.On == scouted.On))
                tell(new PickingFellDue(site.Id, at, planting.Id, scouted.On, scouted.Curled, scouted.Shoots));
        }

        LookForCurl(at, today);
        LookAtBuds(at, today);
    }

    /// <summary>Takes the next interval.</summary>
    internal void Observe(in WeatherInterval interval, Wetness wetness, WetSpell? running, WetSpell? ended, DateTimeOffset? evidenceUntil, bool doubtful)
    {
        var sky = new RuleInput(interval, wetness, running, ended, factor, Stage.Code);
        var input = Shelter.Under(sky);
        spell = input.Spell;
        if (Cover.Add(input.Interval))
            tell(new CoverChanged(site.Id, interval.End, planting.Id, Cover.Cover, Cover.Last!.Product, Cover.Last.On, Cover.RainMm));
        input = input with { Cover = CoverNow };
        foreach (var rule in rules)
        {
            rule.Observe(input);
            Tell(rule, interval.End);
        }

        foreach (var rule in Shelter.OpenSky)
        {
            rule.Observe(sky with { Cover = CoverNow });
            TellSheltered(rule, interval.End);
        }

        // Tissue that cannot be infected, or that a roof keeps dry, is clear whatever the sensors do; before the first evidence
        // nothing else is known. Where a sensor hangs under the roof that one is asked, and no other.
        var known = Shelter.IsOn ? Shelter.EvidenceUntil : evidenceUntil;
        skyUnknown = factor > 0 && !(interval.End - evidenceUntil <= site.UnknownAfter);
        unknown = factor > 0 && (!Shelter.IsOn || Shelter.IsOnWithSensor) && !(interval.End - known <= site.UnknownAfter);
        uncertain = unknown || doubtful || spell is { Uncertain: true };
        if (unknown)
            MoveTo(Level.Unknown, known ?? since ?? interval.Start, interval.End);
        else
            MoveTo(driving.Level, interval.End, interval.End);
    }

    /// <summary>An hour's temperature is known.</summary>
    internal void Add(in HourTemperature hour)
    {
        Stage.Add(hour);
        var day = LocalDay.Of(hour.End, site.Zone);
        factor = Stage.FactorOn(day);
        NoteBuds(hour.End, day);
    }

    /// <summary>A local day is over; <paramref name="at"/> is its last interval's end.</summary>
    internal void DayOver(in DayWeather day, DateTimeOffset at)
    {
        var wasOpen = Stage.Open.ClosedOn is null;
        Stage.DayOver(day);
        foreach (var incubation in incubations)
            incubation.DayOver(day);
        var tomorrow = day.Day.AddDays(1);
        incubations.RemoveAll(incubation => incubation.Last < tomorrow && !incubation.AwaitsLeaves);
        // A watch that begins in late summer has no season to end.
        if (wasOpen && !Stage.IsOver(day.Day) && Stage.Open.ClosedOn is { } closed)
            tell(new SeasonClosed(site.Id, at, planting.Id, closed, Stage.Open.ClosedBecause!, Stage.Open.ClosedByWarmth, incubations.Count > 0) { Sheltered = Shelter.IsOn });
    }

    /// <summary>The log is over: closes open windows.</summary>
    internal void Finish(WetSpell? ended, DateTimeOffset at)
    {
        var own = Shelter.IsUsed ? Shelter.Finish() : ended;
        foreach (var rule in rules)
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
        if (rule.Opened is { } opened && Shelter.IsOn && !Array.Exists(rules, own => own.Name == rule.Name && own.OpenWindow is not null))
        {
            keptOff.Add((opened.Rule, opened.OpenedAt));
            if (opened.Rule == driving.Name)
                keptOffByDriving.Add(opened with { Sheltered = true });
            tell(new InfectionWindowOpened(site.Id, at, opened with { Sheltered = true }));
        }

        if (rule.Closed is { } closed && keptOff.Remove((closed.Rule, closed.OpenedAt)))
            tell(new InfectionWindowClosed(site.Id, at, closed with { Sheltered = true }));
    }

    private void NoteBuds(DateTimeOffset at, DateOnly on)
    {
        if (Stage.Model is null || Stage.Buds == buds || Stage.IsOver(on))
            return;
        tell(new BudsChanged(site.Id, at, planting.Id, buds, Stage.Buds, on));
        buds = Stage.Buds;
    }

    private void Tell(InfectionRule rule, DateTimeOffset at)
    {
        // A window may open and close in one interval, as on the last one of a rain day.
        if (rule.Opened is { } opened)
        {
            if (rule == driving)
                incubations.Add(new Incubation(opened.OpenedAt, LocalDay.Of(opened.OpenedAt, site.Zone)));
            tell(new InfectionWindowOpened(site.Id, at, opened));
        }

        if (rule.Closed is { } closed)
            tell(new InfectionWindowClosed(site.Id, at, closed));
    }

    private void TellStage(StageReached reached)
    {
        if (reached.Source == StageSource.Logged)
        {
            lastBudLook = reached.On;
            // Buds that were seen shut were shut before, too: nothing can come of those windows.
            if (reached.Stage == BudStage.Dormant)
                incubations.RemoveAll(incubation => incubation.OpenedAt < reached.At);
        }

        tell(new BudStageReached(
            site.Id, reached.At, planting.Id, reached.Stage.Code, reached.On, reached.Source == StageSource.Logged, reached.Early, reached.Late));
    }

    /// <summary>One look serves every window that it suits.</summary>
    private void LookForCurl(DateTimeOffset at, DateOnly today)
    {
        if (incubations.Count == 0)
            return;
        if (Stage.Model is { Source: not StageSource.Unknown } model)
        {
            var leavesOn = model.DatesOf(BudStage.FirstLeaves).Expected;
            incubations.ForEach(incubation => incubation.LeavesUnfold(leavesOn));
        }

        if (incubations.Find(incubation => incubation.IsDueOn(today)) is not { } due)
            return;
        var served = incubations.FindAll(incubation => !incubation.AwaitsLeaves && incubation.Possible <= today);
        tell(new ScoutingFellDue(
            site.Id, at, planting.Id, due.OpenedAt, today >= due.LikelyTo, due.LikelyFrom, due.LikelyTo, served.TrueForAll(incubation => incubation.MayNotDevelop)));
        served.ForEach(incubation => incubation.LookedOn(today));
    }

    /// <summary>Asks for a look at the buds where the sums are at their wits' end.</summary>
    private void LookAtBuds(DateTimeOffset at, DateOnly today)
    {
        if (Stage.Model is not { } model)
            return;
        if (buds == BudState.Shut)
            askedFor = 0;
        if (!needsTold && model.NeedsNotMet)
        {
            needsTold = true;
            tell(new NeedsFellShort(site.Id, at, planting.Id, model.ChillMetOn!.Value, model.ChillSum, model.Needs.ChillNeed));
        }

        // From the first swell that may be, the expected swell, the expected green tip: each is asked for once.
        var step = model.DatesOf(BudStage.GreenTip).Expected is not null ? 3
            : model.DatesOf(BudStage.LeafBudSwell).Expected is not null ? 2
            : buds != BudState.Shut ? 1 : 0;
        if (step <= askedFor || factor <= 0 || Stage.HasSeen(step == 3 ? BudStage.GreenTip : BudStage.LeafBudSwell))
            return;
        if (today < lastBudLook?.AddDays(DaysOfOneLook))
        {
            // Asked for a moment ago: that look serves. Seen shut a moment ago: the question comes again.
            if (askedFor > 0)
                askedFor = step;
            return;
        }

        (askedFor, lastBudLook) = (step, today);
        tell(new BudLookFellDue(site.Id, at, planting.Id, step == 3 ? 9 : 1, step > 1, today, model is { HasUsualYear: false, UnknownChillHours: > 24 * DaysOfOneLook }));
    }

    private void MoveTo(Level next, DateTimeOffset from, DateTimeOffset at)
    {
        if (next == level && since is not null)
            return;
        // Until something is known to begin with there is no change, unless there is something to say at once.
        var (before, first) = (level, !begun && next <= Level.Clear);
        (level, since) = (next, from);
        begun |= next >= Level.Clear;
        if (!first)
            tell(new LevelChanged(site.Id, at, planting.Id, before, next, from));
    }
}
