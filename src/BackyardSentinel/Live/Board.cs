using BackyardSentinel.Alerting;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>
/// The watches of all sites with the alert desk behind them, and what they raised that is not in the store yet. When the
/// journal grows a new board takes the place of the old one.
/// </summary>
internal sealed class Board
{
    private readonly Dictionary<string, SiteWatch> _watches = new(StringComparer.Ordinal);
    private readonly Dictionary<string, SensorWatch> _sensors = new(StringComparer.Ordinal);
    private readonly IReadOnlyList<SeriesMap> _series;
    private readonly HashSet<string> _known;
    private readonly AlertDesk _desk;
    private readonly ILogger _log;
    private DateTimeOffset _minute = DateTimeOffset.MinValue;

    /// <summary>Where not all that is stored is fed, spells and windows that ran at its start look cut off for a while.</summary>
    private static readonly TimeSpan Settling = TimeSpan.FromDays(14);

    private readonly DateTimeOffset _told;

    public Board(
        IReadOnlyList<Site> sites, IReadOnlyList<SeriesMap> series, IReadOnlyList<JournalEntry>? journal, AlertPolicyOptions alerts,
        HashSet<string> knownEvents, DateTimeOffset? from, IReadOnlyCollection<DateTimeOffset> outages, ILogger log)
    {
        (_series, _known, _log) = (series, knownEvents, log);
        _told = from is { } start ? start + Settling : DateTimeOffset.MinValue;
        _desk = new AlertDesk(alerts, Decided);
        foreach (var site in sites) _watches.Add(site.Id, new SiteWatch(site, Raise, journal, outages, _known.Contains));
    }

    public IReadOnlyDictionary<string, SiteWatch> Watches => _watches;

    /// <summary>Raised, not stored. A key that is known already never gets here, so nothing is announced twice.</summary>
    public List<SentinelEvent> Unstored { get; } = [];

    /// <summary>What is wrong with sensors now, whatever was told of it.</summary>
    public IEnumerable<Occasion> Troubles => _sensors.Values.SelectMany(sensors => sensors.Standing);

    /// <summary>Alerts decided on, not stored.</summary>
    public List<Alert> Unsent { get; } = [];

    /// <summary>Readings taken so far that speak of time which had been judged without them: the season wants to be judged again.</summary>
    public long LateReadings { get; private set; }

    /// <summary>Takes a reading. Sites and series are those the board was made with.</summary>
    /// <returns>What became of it.</returns>
    public QualityVerdict Accept(SeriesMap map, in Reading reading, DateTimeOffset receivedAt)
    {
        Hear(map, reading.Value, receivedAt);
        return Judge(map, reading, receivedAt, receivedAt);
    }

    /// <summary>A sensor spoke, whatever it said.</summary>
    private void Hear(SeriesMap map, double value, DateTimeOffset receivedAt)
    {
        try
        {
            PassTo(receivedAt);
            if (!_sensors.TryGetValue(map.SiteId, out var sensors)) return;
            foreach (var occasion in sensors.Accept(map.Name, value, receivedAt)) _desk.Consider(occasion);
        }
#pragma warning disable CA1031 // as below
        catch (Exception failure)
#pragma warning restore CA1031
        {
            _log.Error(failure, "What {Series} said at {Time:u} could not be noted.", map.Name, receivedAt);
        }
    }

    /// <summary>A reading takes its place in the judgement.</summary>
    private QualityVerdict Judge(SeriesMap map, in Reading reading, DateTimeOffset at, DateTimeOffset receivedAt)
    {
        if (!_watches.TryGetValue(map.SiteId, out var watch)) return QualityVerdict.Good;
        try
        {
            PassTo(at);
            var late = SiteWatch.Counts(reading.Time, receivedAt) && watch.HasJudged(reading);
            var verdict = watch.Accept(reading, at);
            if (late && verdict is QualityVerdict.Good or QualityVerdict.Clamped or QualityVerdict.Late or QualityVerdict.Leap) LateReadings++;
            return verdict;
        }
#pragma warning disable CA1031 // a fault in judging one reading must not stop the others; a rebuild meets the same one
        catch (Exception failure)
#pragma warning restore CA1031
        {
            _log.Error(failure, "A reading of {Site} at {Time:u} could not be judged.", map.SiteId, reading.Time);
            return QualityVerdict.Good;
        }
    }

    public void AdvanceTo(DateTimeOffset minute)
    {
        try
        {
            PassTo(minute);
        }
#pragma warning disable CA1031 // as above
        catch (Exception failure)
#pragma warning restore CA1031
        {
            _log.Error(failure, "The garden could not be judged up to {Minute:u}.", minute);
        }
    }

    /// <summary>Something came about beside the pipeline.</summary>
    public void Consider(Occasion occasion) => _desk.Consider(occasion);

    /// <summary>The grower answered an alert.</summary>
    public string Answer(StoredAnswer answer)
    {
        var at = Stamps.ToMoment(answer.ReceivedUs);
        return _desk.Answer(answer.UntilMs is { } until
            ? new LaterAnswer(answer.Episode, at, DateTimeOffset.FromUnixTimeMilliseconds(until))
            : new SeenAnswer(answer.Episode, at));
    }

    /// <summary>Listening stopped, for longer than an outage's grace.</summary>
    public void Interrupt(DateTimeOffset since)
    {
        foreach (var watch in _watches.Values) watch.Interrupt(since);
    }

    /// <summary>Feeds stored readings through the watches, in the order in which they count, with the answers between.</summary>
    /// <param name="season">The rows in the order of their own times.</param>
    /// <param name="series">The series by number.</param>
    /// <param name="answers">The answers in the order of arrival.</param>
    public long Feed(IEnumerable<StoredReading> season, IReadOnlyDictionary<int, SeriesMap> series, IReadOnlyList<StoredAnswer> answers)
    {
        long count = 0;
        var nextAnswer = 0;
        foreach (var step in SeasonOrder.Of(season.Where(row => series.ContainsKey(row.Series))))
        {
            for (; nextAnswer < answers.Count && answers[nextAnswer].ReceivedUs <= step.AtUs; nextAnswer++) Answer(answers[nextAnswer]);
            var map = series[step.Row.Series];
            if (step.Heard)
            {
                Hear(map, step.Row.Value, step.At);
                count++;
            }
            else
            {
                Judge(map, step.Reading(map), step.At, step.At);
            }
        }

        for (; nextAnswer < answers.Count; nextAnswer++) Answer(answers[nextAnswer]);
        return count;
    }

    /// <summary>
    /// Lets time pass. Live, each whole minute is asked for; in a rebuild those in which nothing can come about are left
    /// out, so that the desk sees the same facts at the same minutes.
    /// </summary>
    private void PassTo(DateTimeOffset at)
    {
        var minute = new DateTimeOffset(at.UtcTicks - at.UtcTicks % TimeSpan.TicksPerMinute, TimeSpan.Zero);
        if (minute <= _minute) return;
        if (_sensors.Count == 0) BeginToListen(minute);
        while (NextDue() is var due && due < minute && due > _minute) Tick(due);
        Tick(minute);
    }

    private DateTimeOffset NextDue()
    {
        var next = DateTimeOffset.MaxValue;
        foreach (var watch in _watches.Values)
        {
            if (watch.NextDue is var due && due < next) next = due;
        }

        return next;
    }

    private void Tick(DateTimeOffset minute)
    {
        _minute = minute;
        foreach (var sensors in _sensors.Values)
        {
            foreach (var occasion in sensors.AdvanceTo(minute)) _desk.Consider(occasion);
        }

        _desk.AdvanceTo(minute);
        foreach (var watch in _watches.Values) watch.AdvanceTo(minute);
    }

    private void BeginToListen(DateTimeOffset start)
    {
        foreach (var site in _series.GroupBy(map => map.SiteId))
            _sensors[site.Key] = new SensorWatch(site.Key, site.ToDictionary(map => map.Name, map => map.Quantity), start);
    }

    private void Raise(SentinelEvent fact)
    {
        if (fact.At < _told) return;
        _desk.Note(fact, _watches[fact.Site].Site, _watches[fact.Site].Plantings);
        if (_known.Add(fact.Key)) Unstored.Add(fact);
    }

    private void Decided(Decision decision)
    {
        switch (decision)
        {
            case Send send:
                Unsent.Add(send.Alert);
                break;
            default:
                break; // What waits or is dropped is decided again, the same, by a rebuild.
        }
    }
}
