using System.Threading.Channels;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Events;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;
using Microsoft.Data.Sqlite;
using Polly;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>
/// The single reader of everything that arrives: stamp, map, judge, commit, then acknowledge in the order of arrival,
/// then publish. A crash anywhere before the commit leaves a message to the broker, which sends it again; what was
/// judged from it is judged again, the same.
/// </summary>
public sealed class SentinelLoop
{
    /// <summary>A level that has fallen so long ago is not told any more (assumed).</summary>
    private static readonly TimeSpan LongAgo = TimeSpan.FromHours(12);

    private readonly SentinelStore _store;
    private readonly PayloadMap _map;
    private readonly Action<OutgoingMessage> _publish;
    private readonly LoopOptions _options;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly Action<string, SiteWatch, SentinelEvent>? _onEvent;
    private readonly LoopParts _parts;
    private readonly HashSet<string> _knownAlerts;
    private readonly SeasonKeeper _keeper;
    private readonly RemarkLog _remarks;
    private readonly Stamps _stamps;
    private readonly GardenClock? _clock;
    private readonly Listening? _listening;
    private readonly LateReadings _late;
    private readonly Repeats _repeats;
    private readonly Channel<ArrivedMessage?> _inbox;
    private readonly ResiliencePipeline _patience;

    private readonly StoreBatch _batch = new();
    private readonly HashSet<(int Series, long TimeMs)> _inBatch = [];
    private readonly List<ArrivedMessage> _unacknowledged = [];
    private readonly Dictionary<string, long> _publishedIntervals = new(StringComparer.Ordinal);

    // What comes while the service catches up is judged together, in the order of time, once it has caught up.
    private List<StoredReading> _heldBack = [];
    private long _batchBegan;
    private DateTimeOffset _minute;
    private ClockWrong? _clockWrong;
    private (string Series, TimeSpan By) _lastLate;
    private long _turnedAt,
        _judgedToTicks;
    private int _repeated,
        _repeatedBefore;

    /// <summary>The loop turns each second; a store that takes nothing stops it.</summary>
    private static readonly TimeSpan LongestTurn = TimeSpan.FromMinutes(2);

    /// <summary>Two of the longest intervals with the longest allowance for late readings.</summary>
    private static readonly TimeSpan LongestLag = TimeSpan.FromHours(3);

    /// <summary>Makes the loop and rebuilds every watch from the store.</summary>
    /// <param name="store">The store; the loop is its only user while it runs.</param>
    /// <param name="map">The map of payloads; likewise.</param>
    /// <param name="sites">The sites to watch.</param>
    /// <param name="publish">Takes retained messages; must not wait.</param>
    /// <param name="options">Batching and clock.</param>
    /// <param name="time">The clock.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="onEvent">Told of each new event once it is stored: site, its watch, the event.</param>
    /// <param name="parts">Journal, alerts and forecast; nothing of these unless given.</param>
    public SentinelLoop(
        SentinelStore store,
        PayloadMap map,
        IReadOnlyList<Site> sites,
        Action<OutgoingMessage> publish,
        LoopOptions options,
        TimeProvider time,
        ILogger log,
        Action<string, SiteWatch, SentinelEvent>? onEvent = null,
        LoopParts? parts = null)
    {
        (_store, _map, _publish, _options, _time, _log, _onEvent) = (store, map, publish, options, time, log, onEvent);
        _parts = parts ?? new LoopParts();
        _remarks = new RemarkLog(time, log);
        _inbox = Channel.CreateBounded<ArrivedMessage?>(new BoundedChannelOptions(options.Capacity) { SingleReader = true });
        _patience = StorePatience.Of(
            time,
            TimeSpan.FromMilliseconds(250),
            (reason, _) => _log.Error("The store takes nothing ({Reason}); nothing is acknowledged until it does.", reason));

        _stamps = new Stamps(store.LastReceivedUs());
        var series = map.Series.ToDictionary(one => store.SeriesId(one.Name));
        _knownAlerts = store.AlertIds();
        foreach (var total in store.Totals())
        {
            if (series.TryGetValue(total.Series, out var known))
                map.Seed(new RainTotal(known.Name, total.Total, DateTimeOffset.FromUnixTimeMilliseconds(total.TimeMs)));
        }

        _repeats = new Repeats(store.Deliveries());
        _late = new LateReadings(time);
        if (!options.ClockFromReadings)
        {
            var heard = HeardUntil(store);
            var first = store.FirstTime();
            _clock = new GardenClock(time, heard, moment => !(moment < first - LongAgo), moment => store.LivedOn(moment, heard ?? moment));
            _listening = new Listening(time, _parts.IsListening, heard < time.GetUtcNow() ? heard : null);
        }

        _keeper = new SeasonKeeper(store, sites, series, _parts, options.SeasonStart, log, _clock?.StoredUntil ?? DateTimeOffset.MaxValue);
    }

    /// <summary>The watches by site id. Touched by the loop's thread only, also inside the event callback.</summary>
    public IReadOnlyDictionary<string, SiteWatch> Watches => Board.Watches;

    /// <summary>
    /// Readings are taken, stored and judged up to the clock's time: the loop turns, and no site lags far behind. May be
    /// asked by any thread.
    /// </summary>
    public bool IsWell =>
        Volatile.Read(ref _turnedAt) is var turned
        && turned != 0
        && _time.GetElapsedTime(turned) <= LongestTurn
        && (
            _options.ClockFromReadings
            || (_time.GetUtcNow() - new DateTimeOffset(Volatile.Read(ref _judgedToTicks), TimeSpan.Zero)).Duration() <= LongestLag);

    /// <summary>Hands a message to the loop; waits while it is full.</summary>
    /// <param name="message">The message.</param>
    /// <param name="ct">Gives up; the message is then not taken.</param>
    public ValueTask OfferAsync(ArrivedMessage message, CancellationToken ct = default) => _inbox.Writer.WriteAsync(message, ct);

    /// <summary>No more messages come: <see cref="RunAsync"/> commits what is in hand and returns.</summary>
    public void Complete() => _inbox.Writer.TryComplete();

    /// <summary>
    /// Runs until cancelled or complete; commits and acknowledges what is in hand before it returns. The link must outlive it.
    /// </summary>
    /// <param name="ct">Asks it to stop.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        using var giveUp = new CancellationTokenSource(Timeout.InfiniteTimeSpan, _time);
        using var asked = ct.Register(() =>
        {
            _inbox.Writer.TryComplete();
            giveUp.CancelAfter(_options.StopPatience);
        });
        using var wake = _time.CreateTimer(_ => _inbox.Writer.TryWrite(null), null, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1));
        try
        {
            await HeedClockAsync(giveUp.Token).ConfigureAwait(false);
            Tick();
            await CommitAsync(giveUp.Token).ConfigureAwait(false);
            while (await _inbox.Reader.WaitToReadAsync(giveUp.Token).ConfigureAwait(false))
            {
                while (_inbox.Reader.TryRead(out var message))
                {
                    await HeedClockAsync(giveUp.Token).ConfigureAwait(false);
                    Tick();
                    if (message is not null)
                        await TakeAsync(message, giveUp.Token).ConfigureAwait(false);
                    else
                        await LookUpAsync(giveUp.Token).ConfigureAwait(false);
                    if (CommitIsDue())
                        await CommitAsync(giveUp.Token).ConfigureAwait(false);
                    Volatile.Write(ref _turnedAt, _time.GetTimestamp());
                }
            }

            await CommitAsync(giveUp.Token).ConfigureAwait(false);
            if (_listening is not null)
                NoteListened(_listening.Until(Now));
        }
        catch (OperationCanceledException) when (giveUp.IsCancellationRequested)
        {
            _log.Warning("Stopped with {Count} messages not committed; the broker sends them again.", _unacknowledged.Count);
        }
    }

    /// <summary>
    /// While the clock is in doubt nothing is taken and nothing acknowledged; once it is known what to believe, that is acted on.
    /// </summary>
    private async ValueTask HeedClockAsync(CancellationToken ct)
    {
        if (_clock is not { } clock)
            return;
        while (true)
        {
            switch (clock.Look())
            {
                case ClockNews.Doubted:
                    _log.Warning(
                        "The computer's clock has leapt by {Off} to {Wall:u}. Nothing is taken until it has stood by that for {Patience} s.",
                        Span(clock.OffBy),
                        _time.GetUtcNow(),
                        GardenClock.Patience.TotalSeconds);
                    break;
                case ClockNews.SetBack:
                    await GoBackAsync(clock.Now, ct).ConfigureAwait(false);
                    break;
                case ClockNews.Behind:
                    _log.Warning(
                        "The computer's clock says {Wall:u}, {Off} behind what the store has lived through: it has lost its time. Time is counted on from {Now:u} until it is set; set it, or let the network set it.",
                        _time.GetUtcNow(),
                        Span(-clock.OffBy),
                        clock.Now);
                    Board.Consider(_clockWrong = new ClockWrong(clock.Now, clock.OffBy));
                    break;
                default:
                    break; // It runs, or the doubt goes on.
            }

            if (!clock.IsIgnored)
                _clockWrong = null;
            if (!clock.IsDoubtful)
                return;
            Volatile.Write(ref _turnedAt, _time.GetTimestamp());
            await Task.Delay(TimeSpan.FromSeconds(1), _time, ct).ConfigureAwait(false);
        }
    }

    /// <summary>The clock was ahead: what was stamped meanwhile is set aside, and the season is judged again up to now.</summary>
    private async Task GoBackAsync(DateTimeOffset now, CancellationToken ct)
    {
        await CommitAsync(ct).ConfigureAwait(false);
        var (aside, restamped) = await _patience
            .ExecuteAsync(_ => ValueTask.FromResult(_store.SetAside(now, now + GardenClock.Tolerance)), ct)
            .ConfigureAwait(false);
        _log.Warning(
            "The computer's clock was ahead and is believed again: it is {Now:u}. {Aside} readings stamped later than that are set aside and not judged, since it is not known when they were true; {Restamped} count at their own time.",
            now,
            aside,
            restamped);
        _stamps.GoBackTo(now);
        _heldBack = [];
        _publishedIntervals.Clear();
        _minute = new DateTimeOffset(now.UtcTicks - now.UtcTicks % TimeSpan.TicksPerMinute, TimeSpan.Zero);
        await JudgeAgainAsync("The clock was set back", ct).ConfigureAwait(false);
    }

    private static string Span(TimeSpan off) =>
        off.Duration().TotalDays >= 2
            ? FormattableString.Invariant($"{off.TotalDays:0} days")
            : FormattableString.Invariant($"{off.TotalMinutes:0} minutes");

    private void Tick()
    {
        if (_options.ClockFromReadings)
            return;
        var now = Now;
        if (_listening!.Look(now) is { } since)
            Interrupt(since, now);
        if (!_listening.MayJudge)
            return;
        if (_heldBack.Count > 0)
        {
            _keeper.Feed(_heldBack);
            _heldBack = [];
        }

        var minute = new DateTimeOffset(now.UtcTicks - now.UtcTicks % TimeSpan.TicksPerMinute, TimeSpan.Zero);
        if (minute <= _minute)
            return;
        _minute = minute;
        Board.AdvanceTo(minute);
        _keeper.LookAround(minute, _clockWrong);
        if (Board.Unstored.Count == 0)
            PublishChanged(false);
        // Before the first reading there is nothing to lag behind.
        Volatile.Write(ref _judgedToTicks, Board.Watches.Values.Min(watch => watch.LastInterval?.End.UtcTicks ?? minute.UtcTicks));
    }

    /// <summary>Once a second: has the grower written something, has a forecast come?</summary>
    private async Task LookUpAsync(CancellationToken ct)
    {
        _keeper.TakeWhatCame();
        NoteListened();
        TellRepeated();
        if (_keeper.JournalHasGrown())
        {
            await JudgeAgainAsync("The journal has changed", ct).ConfigureAwait(false);
            return;
        }

        var late = Board.LateReadings;
        if (!_late.IsDue(late))
            return;
        var began = _time.GetTimestamp();
        await JudgeAgainAsync($"Readings have come late ({late})", ct).ConfigureAwait(false);
        _late.Judged(_time.GetElapsedTime(began));
        if (_late.KeepComing)
            _remarks.KeepComing(_lastLate, _late.Pause);
    }

    /// <summary>Once for each time that the broker repeats itself, when no more of it comes.</summary>
    private void TellRepeated()
    {
        if (_repeated > 0 && _repeated == _repeatedBefore)
        {
            _log.Warning(
                "{Count} messages that were safe already came from the broker again; they are not counted twice. Did the broker, or this computer, lose power?",
                _repeated);
            _repeated = 0;
        }

        _repeatedBefore = _repeated;
    }

    private async Task JudgeAgainAsync(string why, CancellationToken ct)
    {
        await CommitAsync(ct).ConfigureAwait(false);
        await _patience
            .ExecuteAsync(
                _ =>
                {
                    _keeper.JudgeAgain(_minute, why);
                    return ValueTask.CompletedTask;
                },
                ct)
            .ConfigureAwait(false);
        await CommitAsync(ct).ConfigureAwait(false);
        PublishChanged(true);
    }

    /// <summary>Listening had stopped; what stood before does not stand for the gap.</summary>
    private void Interrupt(DateTimeOffset since, DateTimeOffset now)
    {
        _log.Warning(
            "Nothing could be heard from {Since:u} on, for {Minutes} minutes by now: what the broker kept is judged at its own time, the rest of the gap is unknown.",
            since,
            (long)(now - since).TotalMinutes);
        try
        {
            _keeper.Interrupt(since);
        }
        catch (SqliteException failure)
        {
            _log.Warning("The gap could not be written down ({Reason}).", failure.Message);
        }
    }

    private void NoteListened()
    {
        if (_listening?.Note(Now, Stamps.ToMoment(_stamps.LastUs)) is { } until)
            NoteListened(until);
    }

    private void NoteListened(DateTimeOffset until)
    {
        try
        {
            _store.NoteListened(until);
        }
        catch (SqliteException failure)
        {
            _log.Debug("That the service listens could not be written down ({Reason}).", failure.Message);
        }
    }

    /// <summary>Until when the service is known to have listened before this start.</summary>
    private static DateTimeOffset? HeardUntil(SentinelStore store)
    {
        var stored = store.LastReceivedUs() is > 0 and var us ? Stamps.ToMoment(us) : (DateTimeOffset?)null;
        return store.Listened() is { } noted && !(stored > noted) ? noted : stored;
    }

    private async Task TakeAsync(ArrivedMessage message, CancellationToken ct)
    {
        if (_unacknowledged.Count == 0)
            _batchBegan = _time.GetTimestamp();
        _unacknowledged.Add(message);
        if (_repeats.IsRepeat(message, _batch))
        {
            _repeated++;
            return;
        }

        var now = Now;
        if (message.Topic == _parts.ForecastTopic?.Topic)
        {
            TakeForecastMessage(message, now);
            return;
        }

        if (message.Topic == _parts.AnswerTopic)
        {
            await TakeAnswerAsync(message, now, ct).ConfigureAwait(false);
            return;
        }

        var result = _map.Read(message.Topic, message.Payload, now, message.Retained, message.Redelivered);
        foreach (var (map, reading) in result.Readings)
        {
            var series = _store.SeriesId(map.Name);
            var timeMs = reading.Time.ToUnixTimeMilliseconds();
            // Judged only if it is new, so that a rebuild, which sees each stored reading once, judges the same.
            if (!_inBatch.Add((series, timeMs)) || await IsStoredAsync(series, timeMs, ct).ConfigureAwait(false))
                continue;
            var receivedUs = _stamps.Next(_options.ClockFromReadings ? reading.Time : now);
            _batch.Readings.Add(new StoredReading(series, timeMs, reading.Value, receivedUs));
            _listening?.Heard(reading.Time, now);
            var stamp = Stamps.ToMoment(receivedUs);
            if (_listening is { MayJudge: false })
            {
                _heldBack.Add(_batch.Readings[^1]);
                if (!SiteWatch.Counts(reading.Time, stamp))
                    NotTaken(message, map, reading, QualityVerdict.Late, now);
                else if (QualityControl.Judge(reading.Quantity, reading.Value, out _) == QualityVerdict.Impossible)
                    NotTaken(message, map, reading, QualityVerdict.Impossible, now);
                continue;
            }

            var before = Board.LateReadings;
            var verdict = Board.Accept(map, reading, stamp);
            if (Board.LateReadings > before)
                _lastLate = (map.Name, stamp - reading.Time); // It will be judged at its own time.
            else if (verdict is not (QualityVerdict.Good or QualityVerdict.Clamped or QualityVerdict.Duplicate))
                NotTaken(message, map, reading, verdict, now);
        }

        foreach (var total in result.Totals)
            _batch.Totals.Add(new StoredTotal(_store.SeriesId(total.Series), total.TotalMm, total.Time.ToUnixTimeMilliseconds()));
        if (result.QuarantineReason is { } reason)
            KeepAside(message, reason, now);
        _remarks.Say(message.Topic, result.Remarks);
    }

    private WatchBoard Board => _keeper.Board;

    private DateTimeOffset Now => _options.ClockFromReadings ? Stamps.ToMoment(_stamps.LastUs) : _clock!.Now;

    private void TakeForecastMessage(ArrivedMessage message, DateTimeOffset now)
    {
        var result = ForecastReader.Read(message.Payload, _parts.ForecastTopic!.Value.Map, now, ageUnknown: message.Retained);
        if (result.Forecast is { } forecast)
            _keeper.TakeForecast(forecast);
        foreach (var remark in result.Remarks)
            _log.Debug("{Topic}: {Remark}", message.Topic, remark);
        if (result.Reason is { } reason)
            Refuse(message, reason, now);
    }

    private async ValueTask TakeAnswerAsync(ArrivedMessage message, DateTimeOffset now, CancellationToken ct)
    {
        var (answer, reason) = AnswerPayload.Read(message.Payload);
        if (answer is null || _parts.Answers is not { } answers)
        {
            Refuse(message, reason ?? "answers are not taken here", now);
            return;
        }

        // Another program may hold the store for longer than a writer waits.
        await _patience
            .ExecuteAsync(
                _ =>
                {
                    // A summary is answered for everything that it lists.
                    IReadOnlyList<string> episodes =
                        _store.AlertMessage(answer.Episode) is { } text && AlertJson.Read(text) is { } told
                            ? told.Episodes
                            : [answer.Episode];
                    foreach (var episode in episodes)
                        answers.Add(episode, answer.Kind, answer.For is { } span ? now + span : null, now);
                    return ValueTask.CompletedTask;
                },
                ct)
            .ConfigureAwait(false);
    }

    /// <summary>The reading stays in the store, so that a rebuild refuses it again; beside that it is kept aside and told.</summary>
    private void NotTaken(ArrivedMessage message, SeriesMap map, in Reading reading, QualityVerdict verdict, DateTimeOffset now)
    {
        var units = UnitsOf(map.SiteId);
        var why = QualityControl.Why(reading.Quantity, reading.Value, verdict, units);
        KeepAside(message, $"{map.Quantity.Name()} {why}", now, reading.Value);
        _remarks.NotTaken(map, verdict, $"{map.Quantity.Name()} {units.Said(reading.Quantity, reading.Value)} {why}");
    }

    private Units.UnitSystem UnitsOf(string site) => Board.Watches[site].Site.Units;

    private void Refuse(ArrivedMessage message, string reason, DateTimeOffset now)
    {
        KeepAside(message, reason, now);
        _remarks.Refuse(message.Topic, reason);
    }

    private void KeepAside(ArrivedMessage message, string reason, DateTimeOffset now, double? value = null) =>
        _batch.Quarantine.Add(
            new QuarantinedMessage(
                message.Topic,
                reason,
                _stamps.Next(now),
                message.Payload.Span[..Math.Min(200, message.Payload.Length)].ToArray())
            {
                Value = value,
            });

    private async ValueTask<bool> IsStoredAsync(int series, long timeMs, CancellationToken ct)
    {
        try
        {
            return _store.Has(series, timeMs);
        }
        catch (SqliteException)
        {
            return await _patience.ExecuteAsync(_ => ValueTask.FromResult(_store.Has(series, timeMs)), ct).ConfigureAwait(false);
        }
    }

    /// <summary>A change of judgement commits at once; otherwise rows are gathered while more are at hand.</summary>
    private bool CommitIsDue()
    {
        if (Board.Unstored.Count > 0 || Board.Unsent.Count > 0 || _batch.Readings.Count >= _options.MaxRows)
            return true;
        if (_unacknowledged.Count == 0)
            return false;
        if (_unacknowledged.Count >= _options.MaxRows)
            return true;
        // A broker that keeps back the rest of its queue until this is acknowledged must not be waited for.
        if ((_listening is { IsCatchingUp: true } || _unacknowledged[^1].Delivery is { Waited: true }) && !_inbox.Reader.TryPeek(out _))
            return true;
        if (_unacknowledged.Count >= _options.MaxUnacknowledged && !_inbox.Reader.TryPeek(out _))
            return true;
        return _time.GetElapsedTime(_batchBegan) >= _options.CommitWindow;
    }

    private async Task CommitAsync(CancellationToken ct)
    {
        List<SentinelEvent> events = [.. Board.Unstored];
        foreach (var fact in events)
            _batch.Events.Add(new StoredEvent(fact.Key, fact.At.ToUnixTimeMilliseconds(), fact.Site, EventJson.Write(fact)));
        var alerts = NewAlerts();
        CommitResult stored = new([], []);
        if (!_batch.IsEmpty)
            stored = await _patience.ExecuteAsync(_ => ValueTask.FromResult(_store.Commit(_batch)), ct).ConfigureAwait(false);
        _batch.Clear();
        _inBatch.Clear();
        Board.Unstored.Clear();
        Board.Unsent.Clear();

        foreach (var message in _unacknowledged)
            await message.AcknowledgeAsync(ct).ConfigureAwait(false);
        _unacknowledged.Clear();
        PublishChanged(events.Count > 0);
        for (var i = 0; i < events.Count; i++)
        {
            if (stored.Events[i])
                Announce(events[i]);
        }

        _parts.Outbox?.Committed(alerts);
    }

    /// <summary>Puts the alerts that are not known yet into words and, for their receivers, into the batch.</summary>
    private List<AlertMessage> NewAlerts()
    {
        if (_parts.Outbox is not { } outbox)
            return [];
        List<AlertMessage> messages = [];
        foreach (var alert in Board.Unsent)
        {
            if (alert.Untold(_knownAlerts) is not { } untold)
                continue;
            var news = untold with { Occasions = [.. untold.Occasions.Select(AsItIsNow)] };
            _knownAlerts.Add(news.Id);
            _knownAlerts.UnionWith(news.Tells);
            var message = outbox.Say(news);
            var rows = outbox.Rows(message, Now, LongOver(news)).ToList();
            _batch.Outbox.AddRange(rows);
            // What reaches nobody any more is not told as a message either.
            if (rows.Count == 0 || rows.Exists(row => row.State == OutboxState.Waiting))
                messages.Add(message);
        }

        return messages;
    }

    /// <summary>
    /// A level that became known late, as from what waited at a broker, and has long fallen again is no news: its window
    /// stands in the store, and its looks and cover are told by themselves.
    /// </summary>
    private string? LongOver(Alert alert) =>
        alert.Occasions.All(occasion => occasion is LevelRisen { FellAt: { } fell } && Now - fell > LongAgo)
            ? "the level had long fallen again when it became known"
            : null;

    /// <summary>A level that has fallen by the time it is told is told as past.</summary>
    private Occasion AsItIsNow(Occasion occasion) =>
        occasion is LevelRisen risen
        && Board.Watches.TryGetValue(risen.Site!, out var watch)
        && watch.Risks.FirstOrDefault(risk => risk.Planting == risen.Planting) is { Level: not Level.Unknown, Since: { } since } risk
        && risk.Level < risen.To
            ? risen with
            {
                FellAt = since,
            }
            : occasion;

    private void Announce(SentinelEvent fact)
    {
        if (fact is ReadingsDoubted { Doubt: var doubt })
            _log.Warning(
                "{Site}: {Seen}. It is not used until it can be right: {Remedy}.",
                fact.Site,
                doubt.Seen(UnitsOf(fact.Site)),
                doubt.Remedy);
        if (fact is ReadingsTrusted { Doubt: var over })
            _log.Information("{Site}: {Quantity} can be right again and is used.", fact.Site, over.Quantity.Name());
        try
        {
            _onEvent?.Invoke(fact.Site, Board.Watches[fact.Site], fact);
        }
#pragma warning disable CA1031 // whoever listens must not stop the flow
        catch (Exception failure)
#pragma warning restore CA1031
        {
            _log.Error(failure, "Event {Key} could not be told.", fact.Key);
        }
    }

    private void PublishChanged(bool all)
    {
        // What stood before a start is no judgement of the time since then.
        if (_listening is { MayJudge: false, IsOutage: true } && _publishedIntervals.Count == 0)
            return;
        var any = false;
        foreach (var (id, watch) in Board.Watches)
        {
            if (!all && _publishedIntervals.TryGetValue(id, out var published) && published == watch.IntervalsJudged)
                continue;
            _publishedIntervals[id] = watch.IntervalsJudged;
            any = true;
            // Three steps without an update and the broker drops it: a dead service must not keep saying "clear".
            var expiry = (uint)Math.Max(900, 3 * watch.Site.Step.TotalSeconds);
            foreach (var planting in watch.Site.Plantings)
                _publish(new OutgoingMessage($"{_options.TopicRoot}/{id}/{planting.Id}/risk", TopicJson.Risk(watch, planting), expiry));
            if (TopicJson.Weather(watch) is { } weather)
                _publish(new OutgoingMessage($"{_options.TopicRoot}/{id}/weather", weather, expiry));
        }

        if (any)
            _parts.OnPublished?.Invoke(Board.Watches.Values);
    }
}
