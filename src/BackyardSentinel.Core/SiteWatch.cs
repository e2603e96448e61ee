using BackyardSentinel.Events;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel;

/// <summary>
/// One site's stages in reading order: quality control and intervals, wetness, wet spell, the rules of each planting,
/// levels, events. Same inputs in the same order give the same events, live, after a restart and from a log.
/// </summary>
public sealed class SiteWatch
{
    /// <summary>A reading may be stamped at most this long after its arrival.</summary>
    public static TimeSpan LargestLead => new(10 * TimeSpan.TicksPerMinute);

    /// <summary>A reading may be at most this old when it arrives.</summary>
    public static TimeSpan LargestAge => new(TimeSpan.TicksPerDay);

    private readonly Action<SentinelEvent> onEvent;
    private readonly IntervalBuilder intervals;
    private readonly WetnessJudge wetnessJudge;
    private readonly WetSpellTracker spells;
    private readonly PlantingWatch[] plantings;
    private readonly long lateAllowance;
    private DateTimeOffset? wetEvidence, temperatureEvidence;

    /// <summary>Starts a watch over one site; events go to <paramref name="onEvent"/> as they become known.</summary>
    public SiteWatch(Site site, Action<SentinelEvent> onEvent)
    {
        Site = site;
        this.onEvent = onEvent;
        lateAllowance = site.LateAllowance.Ticks;
        intervals = new IntervalBuilder(site);
        wetnessJudge = new WetnessJudge(site);
        spells = new WetSpellTracker(site.SpellStartsOnAnyWetness, !site.HasRainGauge);
        plantings = [.. site.Plantings.Select(planting => new PlantingWatch(site, planting))];
    }

    /// <summary>The site watched.</summary>
    public Site Site { get; }

    /// <summary>Number of intervals judged so far.</summary>
    public long IntervalsJudged { get; private set; }

    /// <summary>Start of the first interval judged, if any.</summary>
    public DateTimeOffset? FirstIntervalStart { get; private set; }

    /// <summary>The last interval judged, if any.</summary>
    public WeatherInterval? LastInterval { get; private set; }

    /// <summary>The judgement on the last interval, if any.</summary>
    public Wetness? LastWetness { get; private set; }

    /// <summary>The wet spell that runs now, if any.</summary>
    public WetSpell? RunningSpell => spells.Running;

    /// <summary>The standing judgement of each planting, in the site's order.</summary>
    public IReadOnlyList<PlantingRisk> Risks => [.. plantings.Select(planting => planting.Describe())];

    /// <summary>A sensor spoke. First lets time pass to the whole minute of <paramref name="receivedAt"/>.</summary>
    /// <returns>What became of the reading.</returns>
    public QualityVerdict Accept(in Reading reading, DateTimeOffset receivedAt)
    {
        AdvanceTo(receivedAt);
        var lead = reading.Time.UtcTicks - receivedAt.UtcTicks;
        if (lead > LargestLead.Ticks)
            return QualityVerdict.Ahead;
        if (lead < -LargestAge.Ticks)
            return QualityVerdict.Late;
        return intervals.Add(reading);
    }

    /// <summary>
    /// Time passed: judges every interval whose end lies at least the late allowance before the whole minute of
    /// <paramref name="now"/>. Only whole minutes count, so ticks need not be stored to be repeated.
    /// </summary>
    public void AdvanceTo(DateTimeOffset now)
    {
        // Nothing is due, or a clock ran backwards: what is judged stays judged.
        if (now.UtcTicks - lateAllowance >= intervals.NextEnd)
            JudgeDue(now.UtcTicks);
    }

    /// <summary>The log is over: judges what is left, ends the running spell and closes open windows.</summary>
    public void Finish()
    {
        while (intervals.TryTakeRest(out var interval))
            Judge(interval);
        if (LastInterval is not { } last)
            return;

        var ended = spells.End();
        if (ended is { } spell)
            onEvent(new WetSpellEnded(Site.Id, last.End, spell));
        foreach (var planting in plantings)
        {
            foreach (var rule in planting.Rules)
            {
                rule.Finish(ended);
                Tell(rule, last.End);
            }
        }
    }

    private void JudgeDue(long ticks)
    {
        var horizon = new DateTimeOffset(ticks - (ticks % TimeSpan.TicksPerMinute) - lateAllowance, TimeSpan.Zero);
        while (intervals.TryTake(horizon, out var interval))
            Judge(interval);
    }

    private void Judge(in WeatherInterval interval)
    {
        var wetness = wetnessJudge.Judge(interval);
        NoteEvidence(interval, wetness);
        var started = spells.Observe(interval, wetness, out var ended);
        var running = spells.Running;
        if (ended is { } over)
            onEvent(new WetSpellEnded(Site.Id, interval.End, over));
        if (started)
            onEvent(new WetSpellStarted(Site.Id, interval.End, running!.Value));

        foreach (var planting in plantings)
        {
            var change = planting.Observe(new RuleInput(interval, wetness, running, ended, planting.Factor), EvidenceUntil);
            foreach (var rule in planting.Rules)
                Tell(rule, interval.End);
            if (change is { } c)
                onEvent(new LevelChanged(Site.Id, interval.End, planting.Id, c.From, c.To, c.Since));
        }

        FirstIntervalStart ??= interval.Start;
        (LastInterval, LastWetness) = (interval, wetness);
        IntervalsJudged++;
    }

    private void Tell(InfectionRule rule, DateTimeOffset at)
    {
        // A window may open and close in one interval, as on the last one of a rain day.
        if (rule.Opened is { } opened)
            onEvent(new InfectionWindowOpened(Site.Id, at, opened));
        if (rule.Closed is { } closed)
            onEvent(new InfectionWindowClosed(Site.Id, at, closed));
    }

    /// <summary>Until when both wetness and temperature were known.</summary>
    private DateTimeOffset EvidenceUntil =>
        wetEvidence!.Value < temperatureEvidence!.Value ? wetEvidence.Value : temperatureEvidence.Value;

    private void NoteEvidence(in WeatherInterval interval, Wetness wetness)
    {
        wetEvidence = wetness.State != WetnessState.Unknown ? interval.End : wetEvidence ?? interval.Start;
        temperatureEvidence = interval.TemperatureC is not null ? interval.End : temperatureEvidence ?? interval.Start;
    }
}
