using System.Runtime.CompilerServices;
using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Phenology;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel;

/// <summary>
/// One site's stages in reading order: quality control and intervals, wetness, wet spell, the rules of each planting,
/// levels, events; hours and days for bud stages and incubation. Same inputs in the same order give the same events, live,
/// after a restart and from a log.
/// </summary>
/// <remarks>
/// The inputs of a season are its readings in the order of their own times, its outages and the journal. A reading that
/// comes late (<see cref="HasJudged"/>) is known to a watch only in part; a new one that is fed the season gives what
/// would have been given had the reading come at its time.
/// The journal is known from the start and each entry counts from its local day on. When it grows, a new watch is fed the
/// season again: it gives what would have been given had the grower written at once.
/// </remarks>
public sealed class SiteWatch
{
    /// <summary>A reading may be stamped at most this long after its arrival.</summary>
    public static TimeSpan LargestLead => new(10 * TimeSpan.TicksPerMinute);

    /// <summary>A reading may be at most this old when it arrives.</summary>
    public static TimeSpan LargestAge => new(TimeSpan.TicksPerDay);

    private readonly Action<SentinelEvent> _onEvent;
    private readonly Action<HourTemperature>? _onHour;
    private readonly Action<SiteWatch>? _onInterval;
    private readonly IntervalBuilder _intervals;
    private readonly PlausibilityWatch _plausibility;
    private readonly WetnessJudge _wetnessJudge;
    private readonly WetSpellTracker _spells;
    private readonly GaugeSilence _gauge;
    private readonly PlantingWatch[] _plantings;
    private readonly DayTally _days;
    private readonly HourlyTemperature? _hours;
    private readonly List<DayWeather> _pastDays = [];
    private readonly Queue<WeatherInterval> _recent = [];
    private readonly long _lateAllowance;
    private DateTimeOffset? _wetEvidence, _temperatureEvidence;

    private readonly Dictionary<(Quantity, int), RefusedReading> _refusing = [];
    private readonly Dictionary<Quantity, RefusedReading> _lastRefused = [];
    private readonly List<SeriesDoubt> _doubts = [];

    private DateOnly? _today;

    /// <summary>Starts a watch over one site; events go to <paramref name="onEvent"/> as they become known.</summary>
    /// <param name="site">The site.</param>
    /// <param name="onEvent">Told each event.</param>
    /// <param name="journal">The journal's entries that hold; <c>null</c>: nobody keeps one.</param>
    /// <param name="outages">The outages known so far; <c>null</c>: none.</param>
    /// <param name="isKnown">Whether an event of a key was told before, by a watch that had not all the readings; <c>null</c>: none
    /// was.</param>
    /// <param name="onHour">Told each hour's mean temperature; <c>null</c>: nobody wants them.</param>
    /// <param name="onInterval">Told when an interval has been judged; <c>null</c>: nobody keeps them.</param>
    public SiteWatch(
        Site site,
        Action<SentinelEvent> onEvent,
        IReadOnlyList<JournalEntry>? journal = null,
        IEnumerable<DateTimeOffset>? outages = null,
        Func<string, bool>? isKnown = null,
        Action<HourTemperature>? onHour = null,
        Action<SiteWatch>? onInterval = null)
    {
        Site = site;
        (_onEvent, _onHour, _onInterval) = (onEvent, onHour, onInterval);
        _lateAllowance = site.LateAllowance.Ticks;
        _intervals = new IntervalBuilder(site, outages is null ? null : new Outages(outages));
        _plausibility = new PlausibilityWatch(
            site,
            site.Climate is { } itsYear ? day => (itsYear.Of(day).MinC, itsYear.Of(day).MaxC) : null,
            isKnown is null ? null : doubt => isKnown(new ReadingsDoubted(site.Id, doubt.Since, doubt).Key));
        _wetnessJudge = new WetnessJudge(site.Spell);
        _spells = new WetSpellTracker(site.Spell, !site.HasRainGauge);
        _gauge = new GaugeSilence(site.UnknownAfter);
        _days = new DayTally(site.Zone);
        var calendar = new SeasonCalendar(site.LatitudeDeg);
        var usual = site.Climate is { } climate ? new UsualHours(climate, site.Zone, site.LatitudeDeg, site.LongitudeDeg) : null;
        _plantings = [.. site.Plantings.Select(planting => new PlantingWatch(site, planting, calendar, usual, journal, onEvent))];
        if (onHour is not null || site.Plantings.Any(planting => planting.Follows is not null))
            _hours = new HourlyTemperature(site.Zone, site.LatitudeDeg, site.LongitudeDeg, HourKnown);
    }

    /// <summary>The site watched.</summary>
    public Site Site { get; }

    /// <summary>Number of intervals judged so far.</summary>
    public long IntervalsJudged { get; private set; }

    /// <summary>How often what was taken for the temperature of the running wet spell could not be right, and was forgotten.</summary>
    public int TemperatureForgotten { get; private set; }

    /// <summary>Start of the first interval judged, if any.</summary>
    public DateTimeOffset? FirstIntervalStart { get; private set; }

    /// <summary>The last interval judged, if any.</summary>
    public WeatherInterval? LastInterval { get; private set; }

    /// <summary>The judgement on the last interval, if any.</summary>
    public Wetness? LastWetness { get; private set; }

    /// <summary>The wet spell that runs now, if any.</summary>
    public WetSpell? RunningSpell => _spells.Running;

    /// <summary>The standing judgement of each planting, in the site's order.</summary>
    public IReadOnlyList<PlantingRisk> Risks => [.. _plantings.Select(planting => planting.Risk)];

    /// <summary>The plantings, in the site's order.</summary>
    public IReadOnlyList<PlantingWatch> Plantings => _plantings;

    /// <summary>The days that are over, oldest first.</summary>
    public IReadOnlyList<DayWeather> PastDays => _pastDays;

    /// <summary>The intervals of the last two days, oldest first.</summary>
    public IReadOnlyCollection<WeatherInterval> Recent => _recent;

    /// <summary>The last reading of each quantity that was not taken, whatever came after it; a mere copy is not among them.</summary>
    public IReadOnlyDictionary<Quantity, RefusedReading> LastRefused => _lastRefused;

    /// <summary>The series whose last word was refused: what they measure is not known now.</summary>
    public IReadOnlyCollection<RefusedReading> Refusing => _refusing.Values;

    /// <summary>The series whose values cannot be right; while a doubt stands its series is not used.</summary>
    public IReadOnlyList<SeriesDoubt> Doubts => _plausibility.Standing;

    /// <summary>
    /// Since when a gauge that used to speak at even intervals has been silent, or leaves wet while one has never spoken, UTC; <c>null</c>:
    /// neither is so.
    /// </summary>
    public DateTimeOffset? RainUnknownSince => _gauge.Since;

    /// <summary>The rain gauge has said something.</summary>
    public bool HasHeardRain => _gauge.HasSpoken;

    /// <summary>Where the forecast would lead a planting.</summary>
    /// <param name="planting">One of <see cref="Plantings"/>.</param>
    /// <param name="forecast">The hours ahead.</param>
    /// <returns><c>null</c> when no window comes of it.</returns>
    public WindowOutlook? LookAhead(PlantingWatch planting, IReadOnlyList<ForecastHour> forecast) =>
        LastInterval is { } last ? planting.LookAhead(_spells, last.End, forecast) : null;

    /// <summary>What the weather would come to if the forecast came true; <c>null</c> before the first interval.</summary>
    /// <param name="forecast">The hours ahead.</param>
    public WeatherAhead? LookAhead(IEnumerable<ForecastHour> forecast) =>
        LastInterval is { } last ? WeatherAhead.Of(_spells, last.End, forecast, Site.Spell.WetHumidityPct) : null;

    /// <summary>A planting's level at the end of each hour of such a look ahead, by the rule that gives it its level.</summary>
    /// <param name="planting">One of <see cref="Plantings"/>.</param>
    /// <param name="ahead">The look ahead.</param>
    public IReadOnlyList<Level> LevelsAhead(PlantingWatch planting, WeatherAhead ahead) => planting.LevelsAhead(_spells, ahead);

    /// <summary>When the next interval can be judged: a whole minute, UTC; the end of time before the first reading.</summary>
    public DateTimeOffset NextDue => _intervals.NextEnd > DateTimeOffset.MaxValue.UtcTicks - _lateAllowance - TimeSpan.TicksPerMinute
        ? DateTimeOffset.MaxValue
        : new DateTimeOffset(NextDueTicks, TimeSpan.Zero);

    private long NextDueTicks => MinuteUp(_intervals.NextEnd + _lateAllowance);

    /// <summary>A reading that came then counts: it was not stamped too far ahead, nor came more than a day late.</summary>
    /// <param name="time">Its own time.</param>
    /// <param name="receivedAt">When it came.</param>
    public static bool Counts(DateTimeOffset time, DateTimeOffset receivedAt) =>
        time - receivedAt <= LargestLead && receivedAt - time <= LargestAge;

    /// <summary>
    /// The reading speaks of time that has been judged without it: only a new watch, fed in the order of time, can do it justice.
    /// </summary>
    /// <param name="reading">The reading.</param>
    public bool HasJudged(in Reading reading) => _intervals.HasJudged(reading);

    /// <summary>
    /// Listening stopped, for longer than <see cref="Outages.Grace"/>: values from before are not stretched over the gap.
    /// </summary>
    /// <param name="since">When. Must be told before time passes to <paramref name="since"/> and the grace.</param>
    public void Interrupt(DateTimeOffset since) => _intervals.Interrupt(since);

    /// <summary>A sensor spoke. First lets time pass to the whole minute of <paramref name="receivedAt"/>.</summary>
    /// <returns>What became of the reading.</returns>
    public QualityVerdict Accept(in Reading reading, DateTimeOffset receivedAt)
    {
        AdvanceTo(receivedAt);
        return Take(reading.Quantity, reading.Rank, reading.Ticks, reading.Value, reading.Period.Ticks, receivedAt);
    }

    /// <summary>The preferred sensor of each quantity spoke at one time, as in a log's row: their readings, one behind the other.</summary>
    /// <param name="time">Their time, UTC.</param>
    /// <param name="period">How long the values describe from then on; zero for momentary ones.</param>
    /// <param name="values">The values in the order of <see cref="Quantity"/>; NaN: there is none.</param>
    /// <param name="receivedAt">When they came, UTC.</param>
    /// <param name="verdicts">What became of each.</param>
    /// <returns>All were taken.</returns>
    public bool Accept(
        DateTimeOffset time,
        TimeSpan period,
        ReadOnlySpan<double> values,
        DateTimeOffset receivedAt,
        Span<QualityVerdict> verdicts)
    {
        AdvanceTo(receivedAt);
        var worst = QualityVerdict.Good;
        for (var i = 0; i < values.Length; i++)
        {
            if (double.IsNaN(values[i]))
                continue;
            var verdict = Take((Quantity)i, 0, time.UtcTicks, values[i], period.Ticks, receivedAt);
            verdicts[i] = verdict;
            worst = verdict > worst ? verdict : worst;
        }

        return worst <= QualityVerdict.Clamped;
    }

    /// <summary>
    /// Takes rows of a log at once, as far as nothing about them is odd; judges what is due between them. The same comes of it
    /// as of <see cref="Accept(DateTimeOffset, TimeSpan, ReadOnlySpan{double}, DateTimeOffset, Span{QualityVerdict})"/> for each.
    /// </summary>
    /// <param name="rows">The rows.</param>
    /// <param name="after">The latest moment that has passed, UTC.</param>
    /// <returns>How many were taken; the next one is to be given by itself.</returns>
    public int AcceptPlain(in RowRun rows, DateTimeOffset after)
    {
        if (_refusing.Count > 0 || rows.Count == 0 || _intervals.NextEnd == long.MaxValue)
            return 0;
        // What an hour's values look like is noted at once: it is asked for when the hour is over.
        var (from, to) = _plausibility.RunningHour(rows.Columns);
        var plain = rows.First(CountRising(rows.Ticks, Math.Max(from - 1, after.UtcTicks), to));
        plain = plain.First(_intervals.CountPlain(plain));
        if (plain.Count == 0)
            return 0;
        _plausibility.NotePlain(plain);
        for (var taken = 0; taken < plain.Count;)
        {
            AdvanceTo(plain.Ticks[taken]);
            var due = plain.From(taken);
            due = due.First(CountRising(due.Ticks, after.UtcTicks, NextDueTicks));
            _intervals.AddPlain(due);
            taken += due.Count;
        }

        return plain.Count;
    }

    /// <summary>How many times, from the first on, follow one another within a span.</summary>
    private static int CountRising(ReadOnlySpan<long> ticks, long after, long until)
    {
        var count = 0;
        for (; count < ticks.Length && ticks[count] > after && ticks[count] < until; count++)
            after = ticks[count];
        return count;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private QualityVerdict Take(Quantity quantity, int rank, long time, double value, long period, DateTimeOffset receivedAt)
    {
        var lead = time - receivedAt.UtcTicks;
        var verdict = lead > LargestLead.Ticks ? QualityVerdict.Ahead
            : lead < -LargestAge.Ticks ? QualityVerdict.Late
            : _intervals.Add(quantity, rank, time, value, period);
        // Nearly all readings are taken, and nothing was refused before them.
        if (verdict > QualityVerdict.Clamped || _refusing.Count > 0)
            NoteRefusal(ReadingOf(), receivedAt, verdict);
        if (verdict <= QualityVerdict.Clamped ? _plausibility.Note(quantity, rank, time, value)
            : verdict == QualityVerdict.Impossible && _plausibility.NoteImpossible(ReadingOf()))
            TellDoubts(receivedAt);
        if (verdict == QualityVerdict.Late && quantity == Quantity.Rain && value > 0 && lead < -LargestAge.Ticks)
            _gauge.ToldOfAnotherDay(receivedAt.UtcTicks);
        return verdict;

        Reading ReadingOf() => new(quantity, new DateTimeOffset(time, TimeSpan.Zero), value, new TimeSpan(period), rank);
    }

    /// <summary>
    /// Time passed: judges every interval whose end lies at least the late allowance before the whole minute of
    /// <paramref name="now"/>. Only whole minutes count, so ticks need not be stored to be repeated.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void AdvanceTo(DateTimeOffset now) => AdvanceTo(now.UtcTicks);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void AdvanceTo(long now)
    {
        // Nothing is due, or a clock ran backwards: what is judged stays judged.
        if (now - _lateAllowance >= _intervals.NextEnd)
            JudgeDue(now);
    }

    /// <summary>The log is over: what closes now would have run on.</summary>
    public bool IsOver { get; private set; }

    /// <summary>The log is over: judges what is left, ends the running spell and closes open windows.</summary>
    public void Finish()
    {
        while (_intervals.TryTakeRest(out var interval))
            Judge(interval);
        if (LastInterval is not { } last)
            return;

        IsOver = true;
        var ended = _spells.End();
        if (ended is { } spell)
            _onEvent(new WetSpellEnded(Site.Id, last.End, spell));
        foreach (var planting in _plantings)
            planting.Finish(ended, last.End);
    }

    private static long MinuteUp(long ticks) =>
        ticks + (TimeSpan.TicksPerMinute - 1) - ((ticks + TimeSpan.TicksPerMinute - 1) % TimeSpan.TicksPerMinute);

    /// <summary>Keeps what was refused until the series is taken again; a mere copy says nothing.</summary>
    private void NoteRefusal(in Reading reading, DateTimeOffset receivedAt, QualityVerdict verdict)
    {
        if (verdict <= QualityVerdict.Clamped)
            _refusing.Remove((reading.Quantity, reading.Rank));
        if (verdict is <= QualityVerdict.Clamped or QualityVerdict.Duplicate)
            return;
        var refused = new RefusedReading(reading, receivedAt, verdict);
        _lastRefused[reading.Quantity] = refused;
        // A value that comes too late says nothing against the sensor as it is now.
        if (verdict != QualityVerdict.Late)
            _refusing[(reading.Quantity, reading.Rank)] = refused;
    }

    private void TellDoubts(DateTimeOffset at)
    {
        foreach (var doubt in _doubts.Except(_plausibility.Standing).ToList())
        {
            _doubts.Remove(doubt);
            _intervals.Use(doubt.Quantity, doubt.Rank, true);
            _onEvent(new ReadingsTrusted(Site.Id, at, doubt));
        }

        foreach (var doubt in _plausibility.Standing.Except(_doubts).ToList())
        {
            _doubts.Add(doubt);
            if (doubt.Quantity == Quantity.Temperature && _intervals.IsFirstUsed(doubt.Quantity, doubt.Rank))
                ForgetTemperature();
            _intervals.Use(doubt.Quantity, doubt.Rank, false);
            _onEvent(new ReadingsDoubted(Site.Id, at, doubt));
        }
    }

    /// <summary>A doubt comes up after hours of wrong values: the wet spell that runs must not be judged by them.</summary>
    private void ForgetTemperature()
    {
        TemperatureForgotten++;
        _spells.ForgetTemperature();
        foreach (var planting in _plantings)
            planting.Shelter.Spells.ForgetTemperature();
    }

    /// <summary>No gauge is left that can be believed.</summary>
    private bool RainIsDoubted => _doubts.Exists(doubt => doubt.Quantity == Quantity.Rain) && !_intervals.HasUsed(Quantity.Rain);

    private void JudgeDue(long ticks)
    {
        var horizon = ticks - (ticks % TimeSpan.TicksPerMinute) - _lateAllowance;
        while (_intervals.TryTake(horizon, out var interval))
            Judge(interval);
    }

    private void Judge(in WeatherInterval interval)
    {
        var wetness = _wetnessJudge.Judge(interval);
        NoteEvidence(interval, wetness);
        var started = _spells.Observe(interval, wetness, out var ended);
        var running = _spells.Running;
        if (ended is { } over)
            _onEvent(new WetSpellEnded(Site.Id, interval.End, over));
        if (started)
            _onEvent(new WetSpellStarted(Site.Id, interval.End, running!.Value));

        var dayOver = _days.Add(interval);
        if (_days.Today != _today)
            BeginDay(interval.Start);
        var (evidence, doubtful) = (EvidenceUntil, _refusing.Count + _doubts.Count > 0);
        var isRainKnown = IsRainKnown(interval);
        foreach (var planting in _plantings)
            planting.Observe(interval, wetness, running, ended, evidence, doubtful, isRainKnown);

        FirstIntervalStart ??= interval.Start;
        LastInterval = interval;
        LastWetness = wetness;
        IntervalsJudged++;
        Remember(interval);
        _hours?.Add(interval);
        if (dayOver is { } day)
            EndDay(day, interval.End);
        _onInterval?.Invoke(this);
    }

    private void BeginDay(DateTimeOffset at)
    {
        _today = _days.Today;
        foreach (var planting in _plantings)
            planting.DayBegins(at, _days.Today);
    }

    private void EndDay(in DayWeather day, DateTimeOffset at)
    {
        _pastDays.Add(day);
        foreach (var planting in _plantings)
            planting.DayOver(day, at);
    }

    private void HourKnown(HourTemperature hour)
    {
        foreach (var planting in _plantings)
            planting.Add(hour);
        _onHour?.Invoke(hour);
    }

    private void Remember(in WeatherInterval interval)
    {
        // Intervals follow one another without a hole, so their number tells how far back they go.
        if ((_recent.Count + 1) * interval.LengthTicks > 2 * TimeSpan.TicksPerDay)
            _recent.Dequeue();
        _recent.Enqueue(interval);
    }

    /// <summary>Until when both wetness and temperature were known; <c>null</c>: one of them never was.</summary>
    private DateTimeOffset? EvidenceUntil =>
        _temperatureEvidence < _wetEvidence ? _temperatureEvidence
        : _temperatureEvidence is null ? null
        : _wetEvidence;

    /// <summary>
    /// What an interval does not tell of rain did not fall: there is a gauge that can be believed, and the other sensors spoke.
    /// </summary>
    private bool IsRainKnown(in WeatherInterval interval) =>
        interval.RainMm is not null
        || (Site.HasRainGauge
            && RainUnknownSince is null
            && (interval.TemperatureC ?? interval.HumidityPct ?? interval.LeafWetShare) is not null
            && !RainIsDoubted);

    private void NoteEvidence(in WeatherInterval interval, Wetness wetness)
    {
        if (Site.HasRainGauge)
            _gauge.Note(interval, wetness.State);
        // Without a gauge's word rain that is not seen is not known to be none.
        if (RainUnknownSince is { } since)
            _wetEvidence = since < _wetEvidence ? since : _wetEvidence;
        else if (wetness.State != WetnessState.Unknown && !RainIsDoubted)
            _wetEvidence = interval.End;
        if (interval.TemperatureC is not null)
            _temperatureEvidence = interval.End;
    }
}
