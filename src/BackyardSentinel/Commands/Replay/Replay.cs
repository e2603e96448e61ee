using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;
using BackyardSentinel.Phenology;
using BackyardSentinel.Units;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Puts recorded logs through the pipeline of live running and collects what it says.</summary>
public sealed class Replay
{
    /// <summary>Rejected rows listed at most; the rest are only counted, so that memory does not grow with the file.</summary>
    public const int MaxRejectedListed = 1000;

    private const long ProgressRows = 100_000;

    private readonly List<RejectedRow> _rejected = [];
    private readonly SiteWatch _watch;
    private readonly SeasonFeed _season;
    private readonly RuleComparison _comparison;
    private readonly IReadOnlyList<string> _logs;
    private readonly bool _ofRows;

    private readonly Func<SiteWatch, DateTimeOffset, IEnumerable<Occasion>>? _lookAhead;
    private DateTimeOffset? _nextDay;

    private Replay(
        Site site,
        IReadOnlyList<string> logs,
        IReadOnlyList<JournalEntry>? journal,
        AlertPolicyOptions? alerts,
        Func<SiteWatch, DateTimeOffset, IEnumerable<Occasion>>? lookAhead,
        Action<SiteWatch>? onInterval,
        IReadOnlyList<DateTimeOffset>? outages = null,
        bool ofRows = false)
    {
        _ofRows = ofRows;
        (_logs, _lookAhead) = (logs, alerts is null ? null : lookAhead);
        var desk = alerts is null ? null : new AlertDesk(alerts, Decided);
        _season = new SeasonFeed([site], Note, journal, outages, desk, onInterval: onInterval);
        _watch = _season.Watches[site.Id];
        _comparison = new RuleComparison(site);
    }

    /// <summary>Replays the logs over one site.</summary>
    /// <param name="site">The site; whether it has a rain gauge is seen from the logs.</param>
    /// <param name="logs">Paths of the files, read as one log.</param>
    /// <param name="options">How to read them.</param>
    /// <param name="onProgress">Told the bytes read so far, now and then.</param>
    /// <param name="journal">The journal's sound entries; <c>null</c>: there is none.</param>
    /// <param name="alerts">How much the phone would have been asked to bear; <c>null</c>: there is no phone.</param>
    /// <param name="lookAhead">What lies ahead and may deserve a message, asked at the start of each local day; <c>null</c>: nobody
    /// looks.</param>
    /// <param name="onInterval">Told when an interval has been judged; <c>null</c>: nobody keeps them.</param>
    /// <exception cref="LogProblemException">A file cannot be read as a log.</exception>
    public static ReplayResult Run(
        Site site,
        IReadOnlyList<string> logs,
        LogOptions options,
        Action<long>? onProgress = null,
        IReadOnlyList<JournalEntry>? journal = null,
        AlertPolicyOptions? alerts = null,
        Func<SiteWatch, DateTimeOffset, IEnumerable<Occasion>>? lookAhead = null,
        Action<SiteWatch>? onInterval = null)
    {
        var judged = site with
        {
            HasRainGauge = LogReader.Has(Quantity.Rain, logs, options),
            // Without a garden file that says otherwise the sensor under the shelter is one like the others.
            UnderShelter = LogReader.Has(Quantity.LeafWetnessUnderShelter, logs, options)
                ? site.UnderShelter ?? new WetnessScale(site.LeafWetOn, site.LeafWetOff, site.LeafWetInverted)
                : null,
        };
        var replay = new Replay(judged, logs, journal, alerts, lookAhead, onInterval, ofRows: true);
        using var reader = new RowsAhead(logs, options, replay.Reject);
        replay.ReadAll(reader, onProgress);
        return replay.Finished(reader.RowsRead) with { Notes = reader.Notes };
    }

    /// <summary>Replays a log of single readings over one site, as the service would judge them after a restart.</summary>
    /// <param name="site">The site, a garden file's or one that fits the log.</param>
    /// <param name="log">The readings.</param>
    /// <param name="journal">The journal's sound entries; <c>null</c>: there is none.</param>
    /// <param name="alerts">How much the phone would have been asked to bear; <c>null</c>: there is no phone.</param>
    /// <param name="lookAhead">As for logs of rows.</param>
    /// <param name="onInterval">As for logs of rows.</param>
    internal static ReplayResult Run(
        Site site,
        SeasonLog log,
        IReadOnlyList<JournalEntry>? journal = null,
        AlertPolicyOptions? alerts = null,
        Func<SiteWatch, DateTimeOffset, IEnumerable<Occasion>>? lookAhead = null,
        Action<SiteWatch>? onInterval = null)
    {
        var replay = new Replay(site, log.Names, journal, alerts, lookAhead, onInterval, log.Outages);
        foreach (var row in log.Rejected)
            replay.Reject(row);
        var rows = replay.ReadAll(log);
        var result = replay.Finished(log.RowsRead ?? rows);
        return result with { Doubts = [.. log.Findings, .. result.Doubts], Findings = [.. log.Findings, .. result.Findings] };
    }

    private ReplayResult Finished(long rows)
    {
        _season.Finish();
        foreach (var planting in _watch.Plantings)
            NoteLateDays(planting);
        return Result(rows);
    }

    private List<WetSpell> Spells { get; } = [];

    private List<InfectionWindow> Windows { get; } = [];

    private HashSet<InfectionWindow> OpenAtEnd { get; } = [];

    private List<LevelChanged> Changes { get; } = [];

    private List<BudStageReached> Stages { get; } = [];

    private List<MayBeOpenSpan> MayBeOpen { get; } = [];

    private List<SentinelEvent> Care { get; } = [];

    private List<Alert> Alerts { get; } = [];

    private List<string> Doubted { get; } = [];

    private long RejectedCount { get; set; }

    private void ReadAll(RowsAhead reader, Action<long>? onProgress)
    {
        var latest = DateTimeOffset.MinValue;
        var verdicts = new QualityVerdict[Quantities.Count];
        for (var (n, next) = (1L, ProgressRows); reader.Read(out var file); n++)
        {
            var row = reader.Current;
            if (row.Time > latest)
            {
                latest = row.Time;
                if (_lookAhead is not null)
                    LookAhead(latest);
            }

            if (!_season.Judge(_watch, row.Time, row.Period, row.Values, latest, verdicts))
                NoteRefused(row, file, verdicts);
            if (_lookAhead is null && _season.JudgePlain(_watch, reader.Next, latest) is > 0 and var plain)
            {
                reader.Skip(plain);
                latest = reader.Time;
                n += plain;
            }

            if (onProgress is null || n < next)
                continue;
            next += ProgressRows;
            onProgress(reader.BytesRead);
        }
    }

    private void NoteRefused(in LogRow row, int file, QualityVerdict[] verdicts)
    {
        foreach (var facts in Quantities.All)
        {
            var (quantity, verdict) = (facts.Quantity, verdicts[(int)facts.Quantity]);
            if (verdict > QualityVerdict.Clamped && row[quantity] is { } value)
                Reject(new RejectedRow(_logs[file], row.Line, Words(quantity, value, verdict, _watch.Site.Units)));
        }
    }

    private long ReadAll(SeasonLog log)
    {
        long rows = 0;
        var readings = log.Readings.Select(reading =>
        {
            rows++;
            return reading;
        });
        foreach (var step in SeasonOrder.Of(readings, DateTimeOffset.MaxValue, withHeard: false))
        {
            if (_lookAhead is not null)
                LookAhead(step.At);
            var reading = step.Sensed.Reading;
            var verdict = _season.Judge(_watch, reading, step.At);
            if (verdict <= QualityVerdict.Clamped)
                continue;
            var (file, line) = log.PlaceOf(step.Sensed);
            Reject(
                new RejectedRow(
                    _logs[file],
                    line,
                    $"{MomentConverter.Text(reading.Time)} {Words(reading.Quantity, reading.Value, verdict, _watch.Site.Units)}"));
        }

        return rows;
    }

    /// <summary>Each local day that has begun lets the desk see what lies ahead, as the service does within its first hour.</summary>
    private void LookAhead(DateTimeOffset now)
    {
        for (
            _nextDay ??= LocalDay.EndOf(now, _watch.Site.Zone);
            _nextDay <= now;
            _nextDay = LocalDay.EndOf(_nextDay.Value, _watch.Site.Zone))
        {
            _season.AdvanceTo(_nextDay.Value);
            foreach (var occasion in _lookAhead!(_watch, _nextDay.Value))
                _season.Consider(occasion);
        }
    }

    private static string Words(Quantity quantity, double value, QualityVerdict verdict, UnitSystem units)
    {
        var what =
            units == UnitSystem.Us
                ? $"{quantity.Name()} {units.Said(quantity, value)}"
                : string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{quantity.Name()} {value}");
        return verdict switch
        {
            QualityVerdict.Impossible => $"{what} cannot be: taken are {QualityControl.RangeOf(quantity, units)}",
            QualityVerdict.Duplicate => $"{what}: there is a value of this very time already; the first counts",
            QualityVerdict.Leap => $"{what} {QualityControl.Why(quantity, value, verdict, units)}",
            _ => $"{what} comes too late: its interval has been judged",
        };
    }

    private void Reject(RejectedRow row)
    {
        RejectedCount++;
        if (_rejected.Count < MaxRejectedListed)
            _rejected.Add(row);
    }

    private void Decided(Decision decision)
    {
        if (decision is Send send)
            Alerts.Add(send.Alert);
    }

    private void Note(SentinelEvent fact)
    {
        switch (fact)
        {
            case ReadingsDoubted doubted: Doubted.Add(Finding(doubted)); break;
            case WetSpellEnded ended: Note(ended.Spell); break;
            case InfectionWindowClosed closed: Note(closed.Window); break;
            case LevelChanged changed: Changes.Add(changed); break;
            case BudStageReached stage: Stages.Add(stage); break;
            case BudsChanged buds: Note(buds); break;
            case InfectionSeasonClosed closed: Note(closed); break;
            case ScoutingFellDue or CoverChanged: Care.Add(fact); break;
            default: break; // Starts and openings are told again, with their sums, by what ends them.
        }
    }

    private void Note(in InfectionWindow window)
    {
        Windows.Add(window);
        if (_watch.IsOver)
            OpenAtEnd.Add(window);
    }

    private void Note(WetSpell spell)
    {
        Spells.Add(spell);
        _comparison.Note(spell, _watch);
    }

    private void Note(BudsChanged buds)
    {
        EndSpan(buds.Planting, buds.On);
        if (buds.To == BudState.MayBeOpen)
            MayBeOpen.Add(new MayBeOpenSpan(buds.Planting, buds.On, null));
    }

    private void Note(InfectionSeasonClosed closed)
    {
        Care.Add(closed);
        EndSpan(closed.Planting, closed.On);
        NoteLateDays(_watch.Plantings.First(planting => planting.Planting.Id == closed.Planting));
    }

    private void EndSpan(string planting, DateOnly on)
    {
        var running = MayBeOpen.FindIndex(span => span.Planting == planting && span.To is null);
        if (running >= 0)
            MayBeOpen[running] = MayBeOpen[running] with { To = on };
    }

    /// <summary>When a stage is told the latest tree is still to come to it; at the end of the season that is known.</summary>
    private void NoteLateDays(PlantingWatch planting)
    {
        if (planting.Stage.Model is not { } model)
            return;
        for (var i = 0; i < Stages.Count; i++)
        {
            if (
                Stages[i] is { Logged: false, Late: null } stage
                && stage.Planting == planting.Planting.Id
                && (model.Season?.Contains(stage.On) ?? true))
                Stages[i] = stage with { Late = model.DatesOf(BudStage.From(stage.Code)).Late };
        }
    }

    private ReplayResult Result(long rows) =>
        new(
            _watch.Site,
            _logs,
            rows,
            _rejected,
            RejectedCount,
            _watch.IntervalsJudged,
            Spells,
            InOrder(Windows.Where(window => !window.Sheltered)),
            Changes,
            _watch.FirstIntervalStart,
            _watch.LastInterval?.End)
        {
            Sheltered = InOrder(Windows.Where(window => window.Sheltered)),
            OpenAtEnd = OpenAtEnd,
            Comparison = _comparison,
            SymptomDays = _watch.Plantings.ToDictionary(planting => planting.Planting.Id, planting => planting.SymptomDays),
            Stages = Stages,
            MayBeOpen = MayBeOpen,
            Care = Care,
            Alerts = Alerts,
            Doubts = [.. Doubted.Distinct()],
            Findings =
            [
                .. Doubted.Distinct(),
                .. UnknownStretches(),
                .. _watch.Plantings.SelectMany(planting => Doubts(planting).Select(doubt => $"{planting.Planting.Called}: {doubt}")),
            ],
        };

    private static IReadOnlyList<InfectionWindow> InOrder(IEnumerable<InfectionWindow> windows) =>
        [
            .. windows
                .OrderBy(window => window.OpenedAt)
                .ThenBy(window => window.Planting, StringComparer.Ordinal)
                .ThenBy(window => window.Rule, StringComparer.Ordinal),
        ];

    private string Finding(ReadingsDoubted doubted)
    {
        var doubt = doubted.Doubt;
        // Single readings were made by the garden file's series, rows by the options.
        var remedy = !_ofRows ? doubt.Remedy.Text : doubt.Fault switch
        {
            SeriesFault.LooksFahrenheit or SeriesFault.LooksInches => "read the log with --units us",
            SeriesFault.LooksCelsius => "read the log without --units us",
            SeriesFault.NeverWet or SeriesFault.NeverDry => "give --wet-on the value from which this sensor is wet",
            SeriesFault.LooksFraction => "humidity has to be in percent",
            SeriesFault.StaysSaturated => doubt.Remedy.Text,
            SeriesFault.LooksTotal => "rain has to be what fell in each row",
            SeriesFault.AllRefused or SeriesFault.LeapsTooFar or SeriesFault.TooMuchRain => "look at the column and its unit",
        };
        var seen = doubt.Seen(_watch.Site.Units).Text;
        return $"{char.ToUpperInvariant(seen[0])}{seen[1..]}; not used from {LocalDay.Of(doubt.Since, _watch.Site.Zone):yyyy-MM-dd} on "
            + $"until it can be right: {remedy}.";
    }

    /// <summary>A sentence for each stretch in which the level was unknown; silence is not an all-clear.</summary>
    private IEnumerable<string> UnknownStretches()
    {
        return UnknownStretch.Of(Changes, _watch.LastInterval?.End)
            .GroupBy(one => (one.From, one.To))
            .OrderBy(one => one.Key.From)
            .Select(one =>
                $"Unknown from {Local(one.Key.From)} to {Local(one.Key.To)} "
                    + $"({string.Join(", ", one.Select(stretch => _watch.Site.Called(stretch.Planting)))}): "
                    + "the log has too few readings there. It is no all-clear.");

        string Local(DateTimeOffset at) =>
            TimeZoneInfo.ConvertTime(at, _watch.Site.Zone).ToString("yyyy-MM-dd HH:mm", System.Globalization.CultureInfo.InvariantCulture);
    }

    private static IEnumerable<string> Doubts(PlantingWatch planting)
    {
        foreach (var doubt in planting.Stage.Model?.Doubts ?? [])
            yield return doubt;
        if (planting.Stage.Doubt is { } unknown)
            yield return $"{unknown} Until then its tissue is judged as open to infection.";
        if (planting.Stage.Model is { } model && NeedsDoubt.Of(model) is { } unfit)
            yield return unfit.Text;
    }
}
