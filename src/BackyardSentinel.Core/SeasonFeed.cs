using System.Runtime.CompilerServices;
using BackyardSentinel.Alerting;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel;

/// <summary>
/// The one way in which a season is fed: to the watches of all sites, the alert desk behind them, and the watch over silent
/// sensors. The service, its restart, a replayed log and each command that reads the store feed their season here and differ
/// in what they want to be told.
/// </summary>
/// <remarks>
/// Time passes by whole minutes, so that the desk sees the same facts at the same minutes: live, each is asked for; a season
/// that is fed again leaves out those in which nothing can come about.
/// </remarks>
public sealed class SeasonFeed
{
    /// <summary>Where not all that is stored is fed, spells and windows that ran at its start look cut off for a while.</summary>
    private static readonly TimeSpan Settling = TimeSpan.FromDays(14);

    private readonly Dictionary<string, SiteWatch> _watches = new(StringComparer.Ordinal);
    private readonly Dictionary<string, SensorWatch> _sensors = new(StringComparer.Ordinal);
    private readonly IReadOnlyDictionary<string, IReadOnlyDictionary<string, Quantity>>? _series;
    private readonly Action<SentinelEvent>? _onEvent;
    private readonly AlertDesk? _desk;
    private readonly Action<Exception, SensedReading?>? _onFault;
    private readonly Outages _outages;
    private readonly DateTimeOffset _told;
    private DateTimeOffset _minute = DateTimeOffset.MinValue;
    // Nearly always the site is that of the reading before.
    private SiteWatch? _lastJudged;
    private (string Site, SensorWatch Sensors)? _lastHeard;

    /// <summary>Starts a season of which nothing has been fed.</summary>
    /// <param name="sites">The sites.</param>
    /// <param name="onEvent">Told each event; <c>null</c>: nobody is.</param>
    /// <param name="journal">The journal's entries that hold; <c>null</c>: nobody keeps one.</param>
    /// <param name="outages">The outages known so far; <c>null</c>: none.</param>
    /// <param name="desk">Decides on alerts; <c>null</c>: there is no phone.</param>
    /// <param name="series">What the series of each site measure, by their names, to notice which are silent; <c>null</c>: nobody
    /// listens for that.</param>
    /// <param name="from">Readings from before are left out; <c>null</c>: none are.</param>
    /// <param name="isKnown">Whether an event of a key was told before; <c>null</c>: none was.</param>
    /// <param name="onHour">Told each hour's mean temperature; <c>null</c>: nobody wants them.</param>
    /// <param name="onInterval">Told when a watch has judged an interval; <c>null</c>: nobody keeps them.</param>
    /// <param name="onFault">Told of a failure, with the reading that caused it if there was one: it must not stop the others.
    /// <c>null</c>: it is thrown.</param>
    public SeasonFeed(
        IEnumerable<Site> sites,
        Action<SentinelEvent>? onEvent = null,
        IReadOnlyList<JournalEntry>? journal = null,
        IReadOnlyCollection<DateTimeOffset>? outages = null,
        AlertDesk? desk = null,
        IReadOnlyDictionary<string, IReadOnlyDictionary<string, Quantity>>? series = null,
        DateTimeOffset? from = null,
        Func<string, bool>? isKnown = null,
        Action<HourTemperature>? onHour = null,
        Action<SiteWatch>? onInterval = null,
        Action<Exception, SensedReading?>? onFault = null)
    {
        (_onEvent, _desk, _series, _onFault, _outages) = (onEvent, desk, series, onFault, new Outages(outages ?? []));
        _told = from is { } start ? start + Settling : DateTimeOffset.MinValue;
        foreach (var site in sites)
            _watches.Add(site.Id, new SiteWatch(site, Raise, journal, outages, isKnown, onHour, onInterval));
    }

    /// <summary>The watches by site id.</summary>
    public IReadOnlyDictionary<string, SiteWatch> Watches => _watches;

    /// <summary>What is wrong with sensors now, whatever was told of it.</summary>
    public IEnumerable<Occasion> Troubles => _sensors.Values.SelectMany(sensors => sensors.Standing);

    /// <summary>Readings taken so far that speak of time which had been judged without them: the season wants to be judged again.</summary>
    public long LateReadings { get; private set; }

    /// <summary>Feeds what was kept of a season, in the order in which it counts, with the answers between.</summary>
    /// <param name="byTime">Readings in the order of their own times.</param>
    /// <param name="answers">The answers to alerts in the order of arrival; <c>null</c>: there are none.</param>
    /// <param name="until">What came later is left out; <c>null</c>: nothing is.</param>
    /// <param name="onTaken">Told each reading that is taken.</param>
    public void Feed(
        IEnumerable<SensedReading> byTime,
        IReadOnlyList<Answer>? answers = null,
        DateTimeOffset? until = null,
        Action<SensedReading>? onTaken = null)
    {
        var next = 0;
        foreach (var step in SeasonOrder.Of(byTime, until ?? DateTimeOffset.MaxValue, withHeard: _series is not null))
        {
            for (; next < answers?.Count && answers[next].At <= step.At; next++)
                Answer(answers[next]);
            if (Take(step) <= QualityVerdict.Clamped && !step.Heard)
                onTaken?.Invoke(step.Sensed);
        }

        for (; next < answers?.Count; next++)
            Answer(answers[next]);
    }

    /// <summary>A sensor speaks now.</summary>
    /// <returns>What became of the reading.</returns>
    public QualityVerdict Accept(in SensedReading sensed)
    {
        Hear(sensed);
        return Take(new SeasonStep(in sensed, sensed.ReceivedAt, heard: false));
    }

    /// <summary>A sensor spoke, and what it said is not judged.</summary>
    public void Hear(in SensedReading sensed) => Take(new SeasonStep(in sensed, sensed.ReceivedAt, heard: true));

    /// <summary>A reading takes its place in the judgement; first lets time pass.</summary>
    /// <param name="watch">One of <see cref="Watches"/>.</param>
    /// <param name="reading">The reading.</param>
    /// <param name="at">When, UTC.</param>
    /// <returns>What became of it.</returns>
    public QualityVerdict Judge(SiteWatch watch, in Reading reading, DateTimeOffset at)
    {
        PassTo(at);
        return watch.Accept(reading, at);
    }

    /// <summary>A log's row takes its place in the judgement; first lets time pass.</summary>
    /// <param name="watch">One of <see cref="Watches"/>.</param>
    /// <param name="time">Its time, UTC.</param>
    /// <param name="period">How long it describes.</param>
    /// <param name="values">Its values in the order of <see cref="Quantity"/>; NaN: there is none.</param>
    /// <param name="at">When, UTC.</param>
    /// <param name="verdicts">What became of each.</param>
    /// <returns>All were taken.</returns>
    public bool Judge(
        SiteWatch watch,
        DateTimeOffset time,
        TimeSpan period,
        ReadOnlySpan<double> values,
        DateTimeOffset at,
        Span<QualityVerdict> verdicts)
    {
        PassTo(at);
        return watch.Accept(time, period, values, at, verdicts);
    }

    /// <summary>Rows that need no question take their place at once. With a desk, which looks at each minute, none do.</summary>
    /// <param name="watch">One of <see cref="Watches"/>.</param>
    /// <param name="rows">The rows.</param>
    /// <param name="after">The latest moment that has passed, UTC.</param>
    /// <returns>How many did; the next one is to be judged by itself.</returns>
    public int JudgePlain(SiteWatch watch, in RowRun rows, DateTimeOffset after) =>
        _desk is null ? watch.AcceptPlain(rows, after) : 0;

    /// <summary>Time passed.</summary>
    public void AdvanceTo(DateTimeOffset now)
    {
        try
        {
            if (now > _minute)
                Listen(now);
            PassTo(now);
            foreach (var watch in _watches.Values)
                watch.AdvanceTo(now);
        }
        catch (Exception failure) when (_onFault is not null)
        {
            _onFault(failure, null);
        }
    }

    /// <summary>Something came about beside the pipeline.</summary>
    public void Consider(Occasion occasion) => _desk?.Consider(occasion);

    /// <summary>The grower answered an alert.</summary>
    /// <returns>What that does, as a sentence; <c>null</c>: there is no phone.</returns>
    public string? Answer(Answer answer) => _desk?.Answer(answer);

    /// <summary>Listening stopped, for longer than an outage's grace.</summary>
    public void Interrupt(DateTimeOffset since)
    {
        _outages.Add(since);
        foreach (var watch in _watches.Values)
            watch.Interrupt(since);
    }

    /// <summary>The season is over: judges what is left, ends the running spells and closes open windows.</summary>
    public void Finish()
    {
        foreach (var watch in _watches.Values)
            watch.Finish();
        if (_watches.Values.Max(watch => watch.LastInterval?.End) is { } end)
            _desk?.AdvanceTo(end);
    }

    private QualityVerdict Take(in SeasonStep step)
    {
        try
        {
            return step.Heard ? Hear(step) : Judge(step);
        }
        catch (Exception failure) when (_onFault is not null)
        {
            _onFault(failure, step.Sensed);
            return QualityVerdict.Good; // Judged again, it fails again.
        }
    }

    /// <summary>A sensor spoke, whatever it said.</summary>
    private QualityVerdict Hear(in SeasonStep step)
    {
        Listen(step.At);
        PassTo(step.At);
        if (_lastHeard?.Site != step.Sensed.Site)
            _lastHeard = _sensors.TryGetValue(step.Sensed.Site, out var found) ? (step.Sensed.Site, found) : null;
        if (_lastHeard is var (_, sensors))
            Consider(
                sensors.Accept(
                    step.Sensed.Series, step.Sensed.Reading.Value, step.At, SiteWatch.Counts(step.Sensed.Reading.Time, step.At)));
        return QualityVerdict.Good;
    }

    /// <summary>Mostly nothing came about: no enumerator is made for that, millions of times.</summary>
    private void Consider(IReadOnlyList<Occasion> found)
    {
        for (var i = 0; i < found.Count; i++)
            Consider(found[i]);
    }

    private QualityVerdict Judge(in SeasonStep step)
    {
        if (_lastJudged?.Site.Id != step.Sensed.Site)
            _lastJudged = _watches[step.Sensed.Site];
        var (watch, reading) = (_lastJudged, step.Sensed.Reading);
        var verdict = Judge(watch, reading, step.At);
        if (
            verdict is QualityVerdict.Good or QualityVerdict.Clamped or QualityVerdict.Late or QualityVerdict.Leap
            && SiteWatch.Counts(reading.Time, step.At)
            && watch.HasJudged(reading))
            LateReadings++;
        return verdict;
    }

    /// <summary>Lets the minutes pass at which something can come about. Without a desk each watch does so by itself.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void PassTo(DateTimeOffset at)
    {
        if (_desk is not null && at.UtcTicks >= _minute.UtcTicks + TimeSpan.TicksPerMinute)
            PassTo(_desk, ClockMinute.Of(at));
    }

    private void PassTo(AlertDesk desk, DateTimeOffset minute)
    {
        while (NextDue() is var due && due < minute && due > _minute)
            Tick(desk, due);
        Tick(desk, minute);
    }

    /// <summary>
    /// Listens for silences from now on. What was first heard long after its own time was not silent before: nobody listened.
    /// </summary>
    private void Listen(DateTimeOffset now)
    {
        if (_desk is null || _series is null || _sensors.Count > 0)
            return;
        foreach (var (site, series) in _series)
            _sensors[site] = new SensorWatch(site, series, ClockMinute.Of(now), _outages);
    }

    private DateTimeOffset NextDue()
    {
        var next = DateTimeOffset.MaxValue;
        foreach (var (_, watch) in _watches)
            next = watch.NextDue is var due && due < next ? due : next;
        return next;
    }

    private void Tick(AlertDesk desk, DateTimeOffset minute)
    {
        _minute = minute;
        ConsiderSilences(minute);
        desk.AdvanceTo(minute);
        foreach (var (_, watch) in _watches)
            watch.AdvanceTo(minute);
    }

    /// <summary>
    /// Lets the desk see what has fallen silent since the last look in the order of time over all sites: a later silence of one must not
    /// make an earlier one of another wait longer than it would have, had each minute been looked at.
    /// </summary>
    private void ConsiderSilences(DateTimeOffset minute)
    {
        List<Occasion>? found = null;
        foreach (var (_, sensors) in _sensors)
        {
            if (sensors.AdvanceTo(minute) is { Count: > 0 } here)
                (found ??= []).AddRange(here);
        }

        if (found is null)
            return;
        found.Sort(SensorWatch.ByTime);
        Consider(found);
    }

    private void Raise(SentinelEvent fact)
    {
        if (fact.At < _told)
            return;
        _desk?.Note(fact, _watches[fact.Site].Site, _watches[fact.Site].Plantings);
        _onEvent?.Invoke(fact);
    }
}
