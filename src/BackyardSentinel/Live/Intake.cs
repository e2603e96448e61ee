using BackyardSentinel.Mqtt;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>
/// Takes one message: maps it, stamps its readings, has them judged, and puts all of it into the batch. Used by the loop's
/// thread only.
/// </summary>
internal sealed class Intake(
    SentinelStore store,
    PayloadMap map,
    SeasonKeeper keeper,
    Batch batch,
    Stamps stamps,
    LoopClock clock,
    Hearing? hearing,
    Refusals refusals,
    RemarkLog remarks,
    SideMessages beside,
    Action<ArrivedMessage, DateTimeOffset>? onMessage,
    ILogger log)
{
    private readonly Repeats _repeats = new(store.Deliveries());
    private int _repeated, _repeatedBefore;

    /// <summary>The last reading that spoke of time which had been judged, and by how much it was late.</summary>
    public (string Series, TimeSpan By) LastLate { get; private set; }

    /// <summary>Readings that wait until what waited at the broker has come; they are judged together, in the order of time.</summary>
    public List<SensedReading> HeldBack { get; private set; } = [];

    /// <summary>What series told last of their batteries, by name; after a restart they tell it again.</summary>
    public Dictionary<string, double> Batteries { get; } = new(StringComparer.Ordinal);

    /// <summary>Takes a message.</summary>
    public async Task TakeAsync(ArrivedMessage message, CancellationToken ct)
    {
        batch.Begin(message);
        if (_repeats.IsRepeat(message, batch.Rows))
        {
            _repeated++;
            return;
        }

        var now = clock.Now;
        if (await beside.TryTakeAsync(message, now, ct).ConfigureAwait(false))
            return;
        onMessage?.Invoke(message, now);
        if (!refusals.TryRead(
                message,
                now,
                () => map.Read(message.Topic, message.Payload, now, message.Retained, message.Redelivered),
                out var result))
            return;
        foreach (var (series, sensed, tellsTime) in result.Readings)
        {
            var (reading, row) = (sensed, Row(series, sensed));
            // Judged only if it is new, so that a rebuild, which sees each stored reading once, judges the same.
            var isNew = await batch.IsNewAsync(row.Series, row.TimeMs, ct).ConfigureAwait(false);
            // A clock that was set back shows a moment twice: what comes at the second is another reading, and goes beside the first.
            while (!isNew && !tellsTime)
            {
                reading = reading with { Time = reading.Time.AddMilliseconds(1) };
                row = Row(series, reading);
                isNew = await batch.IsNewAsync(row.Series, row.TimeMs, ct).ConfigureAwait(false);
            }

            if (isNew)
                Take(message, series, reading, row, now);
            else if (!clock.IsTheReadings && !SiteWatch.Counts(reading.Time, now))
                NoteOldTime(message, series, reading, now);
        }

        foreach (var (series, level) in result.Batteries)
            Batteries[series.Name] = level;
        foreach (var total in result.Totals)
            batch.Rows.Totals.Add(new StoredTotal(store.SeriesId(total.Series), total.TotalMm, total.Time.ToUnixTimeMilliseconds()));
        if (result.QuarantineReason is { } reason)
            refusals.KeepAside(message, reason, now);
        remarks.Say(message.Topic, result.Remarks);

        StoredReading Row(SeriesMap series, in Reading reading) =>
            new(store.SeriesId(series.Name), reading.Time.ToUnixTimeMilliseconds(), reading.Value, 0);
    }

    /// <summary>What waited at the broker has come: it is judged.</summary>
    public void JudgeHeldBack()
    {
        if (HeldBack.Count == 0)
            return;
        keeper.Feed(HeldBack);
        HeldBack = [];
    }

    /// <summary>The clock was set back: what was held back is in the store, or set aside.</summary>
    public void ForgetHeldBack() => HeldBack = [];

    /// <summary>Once for each time that the broker repeats itself, when no more of it comes.</summary>
    public void TellRepeated()
    {
        if (_repeated > 0 && _repeated == _repeatedBefore)
        {
            log.Warning(
                "{Count} messages that were safe already came from the broker again; they are not counted twice. "
                    + "Did the broker, or this computer, lose power?",
                _repeated);
            _repeated = 0;
        }

        _repeatedBefore = _repeated;
    }

    /// <summary>
    /// A value of another day of whose moment one is stored already: by a clock that is whole days slow all of them would be copies.
    /// </summary>
    private void NoteOldTime(ArrivedMessage message, SeriesMap series, in Reading reading, DateTimeOffset now)
    {
        var season = keeper.Board.Season;
        if (hearing is not { MayJudge: false })
            season.Hear(series.Sensed(reading, now));
        refusals.NotTaken(message, series, reading, QualityVerdict.Late, season.Watches[series.SiteId].Site.Units, now);
    }

    private void Take(ArrivedMessage message, SeriesMap series, in Reading reading, in StoredReading unstamped, DateTimeOffset now)
    {
        var row = unstamped with { ReceivedUs = stamps.Next(clock.IsTheReadings ? reading.Time : now) };
        batch.Rows.Readings.Add(row);
        hearing?.Heard(reading.Time, now);
        var stamp = StoredTime.ToMoment(row.ReceivedUs);
        var sensed = series.Sensed(reading, stamp);
        if (hearing is { MayJudge: false })
        {
            HeldBack.Add(sensed);
            if (!SiteWatch.Counts(reading.Time, stamp))
                NotTaken(QualityVerdict.Late, reading);
            else if (QualityControl.Judge(reading.Quantity, reading.Value, out _) == QualityVerdict.Impossible)
                NotTaken(QualityVerdict.Impossible, reading);
            return;
        }

        var season = keeper.Board.Season;
        var before = season.LateReadings;
        var verdict = season.Accept(sensed);
        if (season.LateReadings > before)
            LastLate = (series.Name, stamp - reading.Time); // It will be judged at its own time.
        else if (verdict is not (QualityVerdict.Good or QualityVerdict.Clamped or QualityVerdict.Duplicate))
            NotTaken(verdict, reading);

        void NotTaken(QualityVerdict refusal, in Reading refused) =>
            refusals.NotTaken(message, series, refused, refusal, keeper.Board.Season.Watches[series.SiteId].Site.Units, now);
    }
}
