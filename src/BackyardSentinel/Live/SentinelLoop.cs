using BackyardSentinel.Events;
using BackyardSentinel.Garden;
using BackyardSentinel.Guards;
using BackyardSentinel.Mqtt;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;
using Polly;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>
/// The single reader of everything that arrives, turn by turn: <see cref="Inbox"/>, <see cref="Intake"/>, <see cref="Board"/>,
/// <see cref="Batch"/>, <see cref="Topics"/>. What is judged is committed, then acknowledged in the order of arrival, then
/// published. A crash anywhere before the commit leaves a message to the broker, which sends it again; what was judged from
/// it is judged again, the same.
/// </summary>
public sealed class SentinelLoop
{
    private readonly SentinelStore _store;
    private readonly IReadOnlyList<SeriesMap> _series;
    private readonly LoopOptions _options;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly Action<string, SiteWatch, SentinelEvent>? _onEvent;
    private readonly LoopParts _parts;
    private readonly ResiliencePipeline _patience;
    private readonly Stamps _stamps;
    private readonly LoopClock _clock;
    private readonly Hearing? _hearing;
    private readonly Pulse _pulse;
    private readonly Inbox _inbox;
    private readonly Intake _intake;
    private readonly SeasonKeeper _keeper;
    private readonly Batch _batch;
    private readonly Topics _topics;
    private readonly NewAlerts? _alerts;
    private readonly RemarkLog _remarks;
    private readonly LateReadings _late;
    private readonly OldReadings _old;
    private readonly Questions _questions = new();
    private DateTimeOffset _minute;
    private volatile bool _isJudgingAgain;

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
        (_store, _options, _time, _log, _onEvent, _parts) = (store, options, time, log, onEvent, parts ?? new LoopParts());
        _series = [.. map.Series];
        Turns = new TurnWatch(time);
        _patience = StorePatience.Of(
            time,
            TimeSpan.FromMilliseconds(250),
            reason => _log.Error(
                "The store takes nothing ({Reason}); nothing is acknowledged until it does. It is asked again each half minute; "
                    + "where the disk is full, make room on it; where it fails, the system's log (dmesg) tells.",
                reason),
            () => _log.Information("The store takes what comes again."),
            Turns);
        _stamps = new Stamps(store.LastReceivedUs());
        _clock = new LoopClock(options.ClockFromReadings, store, _stamps, time, log, _parts.IsClockSet);
        _hearing = options.ClockFromReadings ? null : new Hearing(store, _parts.IsListening, time, log);
        (_pulse, _inbox, _late, _remarks) = (
            new Pulse(time), new Inbox(options.Capacity, time), new LateReadings(time), new RemarkLog(time, log));
        _batch = new Batch(store, _patience, options, time);
        _old = new OldReadings(store, options.KeepYears, log);
        _topics = new Topics(options.TopicRoot, publish, _parts.OnPublished);
        _alerts = _parts.Outbox is { } outbox ? new NewAlerts(outbox, store.AlertIds()) : null;

        store.Know(map.Series.Select(one => one.Name));
        var series = map.Series.ToDictionary(one => store.SeriesId(one.Name));
        var otherwise = store.ForgetTotalsMadeOtherwise(
            map.Series.Where(one => one.RainIsTotal).ToDictionary(one => one.Name, one => one.TotalsMadeBy));
        foreach (var one in otherwise)
            log.Warning(
                "{Series}: scale, offset or unit are others than those of its last rain total; amounts are counted from the next one.",
                one);
        foreach (var total in store.Totals())
        {
            // Where the store took nothing the last total stands there still.
            if (series.TryGetValue(total.Series, out var known) && !otherwise.Contains(known.Name))
                map.Seed(new RainTotal(known.Name, total.Total, DateTimeOffset.FromUnixTimeMilliseconds(total.TimeMs)));
        }

        _keeper = new SeasonKeeper(store, sites, series, _parts, options.SeasonStart, log, _clock.StoredUntil);
        var refusals = new Refusals(_batch, _stamps, _remarks);
        var beside = new SideMessages(_parts, _keeper, refusals, _patience, log);
        _intake = new Intake(store, map, _keeper, _batch, _stamps, _clock, _hearing, refusals, _remarks, beside, _parts.OnMessage, log);
    }

    /// <summary>The watches by site id. Touched by the loop's thread only, also inside the event callback.</summary>
    public IReadOnlyDictionary<string, SiteWatch> Watches => Season.Watches;

    /// <summary>
    /// Readings are taken, stored and judged up to the clock's time: the loop turns, and no site lags far behind. May be
    /// asked by any thread.
    /// </summary>
    public bool IsWell => _pulse.Beats && (_options.ClockFromReadings || _pulse.KeepsUp);

    /// <summary>The season is being judged again, and questions wait until it has been. May be asked by any thread.</summary>
    public bool IsJudgingAgain => _isJudgingAgain;

    /// <summary>Whether the loop turns; late where it hangs.</summary>
    public TurnWatch Turns { get; }

    private Board Board => _keeper.Board;

    private SeasonFeed Season => _keeper.Board.Season;

    /// <summary>Hands a message to the loop; waits while it is full.</summary>
    /// <param name="message">The message.</param>
    /// <param name="ct">Gives up; the message is then not taken.</param>
    public ValueTask OfferAsync(ArrivedMessage message, CancellationToken ct = default) => _inbox.OfferAsync(message, ct);

    /// <summary>
    /// Asks something about the garden as it is judged now. It is answered between two messages, on the loop's thread, and must be
    /// quick, change nothing, and hand out nothing that changes later.
    /// </summary>
    /// <param name="question">Looks and answers.</param>
    /// <param name="ct">Gives up, as when the store takes nothing and the loop stands.</param>
    public Task<T> AskAsync<T>(Func<GardenNow, T> question, CancellationToken ct = default)
    {
        var answer = _questions.Put(question, ct);
        _inbox.WakeNow();
        return answer;
    }

    /// <summary>No more messages come: <see cref="RunAsync"/> commits what is in hand and returns.</summary>
    public void Complete() => _inbox.Close();

    /// <summary>
    /// Runs until cancelled or complete; commits and acknowledges what is in hand before it returns. The link must outlive it.
    /// </summary>
    /// <param name="ct">Asks it to stop.</param>
    public async Task RunAsync(CancellationToken ct)
    {
        using var giveUp = new CancellationTokenSource(Timeout.InfiniteTimeSpan, _time);
        using var asked = ct.Register(() =>
        {
            Complete();
            giveUp.CancelAfter(_options.StopPatience);
        });
        using var wake = _inbox.Wake();
        Turns.Turn();
        try
        {
            await HeedClockAsync(giveUp.Token).ConfigureAwait(false);
            Tick();
            await CommitAsync(giveUp.Token).ConfigureAwait(false);
            while (await _inbox.WaitAsync(giveUp.Token).ConfigureAwait(false))
            {
                while (_inbox.TryTake(out var message))
                    await TurnAsync(message, giveUp.Token).ConfigureAwait(false);
            }

            await CommitAsync(giveUp.Token).ConfigureAwait(false);
            _hearing?.NoteEnd(_clock.Now);
        }
        catch (OperationCanceledException) when (giveUp.IsCancellationRequested)
        {
            if (_batch.Unacknowledged > 0)
                _log.Warning("Stopped with {Count} messages not stored yet; the broker sends them again.", _batch.Unacknowledged);
        }
    }

    private async Task TurnAsync(ArrivedMessage? message, CancellationToken ct)
    {
        Turns.Turn();
        await HeedClockAsync(ct).ConfigureAwait(false);
        Tick();
        if (message is not null)
            await _intake.TakeAsync(message, ct).ConfigureAwait(false);
        else
            await LookUpAsync(ct).ConfigureAwait(false);
        _questions.Answer(Now);
        // A change of judgement commits at once, and so does a gap.
        var isNews = Board.Unstored.Count > 0 || Board.Unsent.Count > 0 || _batch.Rows.Outages.Count > 0;
        if (isNews || _batch.IsDue(_inbox, _hearing is { IsCatchingUp: true }))
            await CommitAsync(ct).ConfigureAwait(false);
        _pulse.Turned();
    }

    /// <summary>
    /// While the clock is in doubt nothing is taken and nothing acknowledged; once it is known what to believe, that is acted on.
    /// </summary>
    private async ValueTask HeedClockAsync(CancellationToken ct)
    {
        while (true)
        {
            var news = _clock.Look();
            if (news == ClockNews.SetBack)
                await GoBackAsync(_clock.Now, ct).ConfigureAwait(false);
            else if (news == ClockNews.Behind)
                Season.Consider(_clock.Wrong!);
            if (!_clock.IsDoubtful)
                return;
            _pulse.Turned();
            Turns.Turn();
            _questions.Answer(Now);
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
            "The computer's clock was ahead and is believed again: it is {Now:u}. {Aside} readings stamped later than that are set aside "
                + "and not judged, since it is not known when they were true; {Restamped} count at their own time.",
            now,
            aside,
            restamped);
        _stamps.GoBackTo(now);
        _intake.ForgetHeldBack();
        _topics.Forget();
        _minute = ClockMinute.Of(now);
        await JudgeAgainAsync("The clock was set back", ct).ConfigureAwait(false);
    }

    private GardenNow Now() => new(
        Season.Watches,
        _keeper.Journal,
        _keeper.Forecast,
        [.. _clock.Wrong is { } wrong ? Season.Troubles.Append(wrong) : Season.Troubles],
        _clock.Now,
        _keeper.Board.Almanacs,
        _hearing is { MayJudge: false },
        _intake.Batteries);

    private void Tick()
    {
        if (_hearing is null)
            return;
        var now = _clock.Now;
        _hearing.Look(now, Season, _batch.Rows);
        if (!_hearing.MayJudge)
            return;
        _intake.JudgeHeldBack();
        var minute = ClockMinute.Of(now);
        if (minute <= _minute)
            return;
        _minute = minute;
        Season.AdvanceTo(minute);
        _keeper.LookAround(minute, _clock.Wrong);
        if (Board.Unstored.Count == 0)
            Publish(false);
        _pulse.Judged(minute, Season.Watches.Values);
    }

    /// <summary>Once a second: has the grower written something, has a forecast come?</summary>
    private async Task LookUpAsync(CancellationToken ct)
    {
        _keeper.TakeWhatCame();
        _hearing?.Note(_clock.Now, StoredTime.ToMoment(_stamps.LastUs));
        _intake.TellRepeated();
        _old.Look(_clock.Now);
        if (_keeper.JournalHasGrown())
        {
            await JudgeAgainAsync("The journal has changed", ct).ConfigureAwait(false);
            return;
        }

        var late = Season.LateReadings;
        if (!_late.IsDue(late))
            return;
        var began = _time.GetTimestamp();
        await JudgeAgainAsync($"Readings have come late ({late})", ct).ConfigureAwait(false);
        _late.Judged(_time.GetElapsedTime(began));
        if (_late.KeepComing)
            _remarks.KeepComing(_intake.LastLate, _late.Pause);
    }

    private async Task JudgeAgainAsync(string why, CancellationToken ct)
    {
        await CommitAsync(ct).ConfigureAwait(false);
        await _patience
            .ExecuteAsync(
                _ =>
                {
                    _isJudgingAgain = true;
                    try
                    {
                        _keeper.JudgeAgain(_minute, why, Turns);
                    }
                    finally
                    {
                        _isJudgingAgain = false;
                    }

                    return ValueTask.CompletedTask;
                },
                ct)
            .ConfigureAwait(false);
        await CommitAsync(ct).ConfigureAwait(false);
        Publish(true);
    }

    private async Task CommitAsync(CancellationToken ct)
    {
        List<SentinelEvent> raised = [.. Board.Unstored];
        var alerts = _alerts?.Tell(Board.Unsent, Season.Watches, _clock.Now, _batch.Rows.Outbox) ?? [];
        var news = await _batch.CommitAsync(raised, ct).ConfigureAwait(false);
        Board.Unstored.Clear();
        Board.Unsent.Clear();
        Publish(raised.Count > 0);
        foreach (var fact in news)
            Announce(fact);
        _parts.Outbox?.Committed(alerts);
    }

    private void Publish(bool all)
    {
        // What stood before a start is no judgement of the time since then.
        if (_hearing is { MayJudge: false, IsOutage: true } && _topics.AreEmpty)
            return;
        _topics.Publish(Season.Watches, all);
    }

    private void Announce(SentinelEvent fact)
    {
        if (fact is ReadingsDoubted { Doubt: var doubt })
            _log.Warning(
                "{Site}: {Seen}. It is not used until it can be right: {Remedy}.",
                SeriesMap.OneOfSeveral(_series, fact.Site, doubt.Quantity, doubt.Rank) is { } which
                    ? $"{fact.Site}, {which}"
                    : fact.Site,
                doubt.Seen(Season.Watches[fact.Site].Site.Units),
                doubt.Remedy);
        if (fact is ReadingsTrusted { Doubt: var over })
            _log.Information("{Site}: {Quantity} can be right again and is used.", fact.Site, over.Quantity.Name());
        try
        {
            _onEvent?.Invoke(fact.Site, Season.Watches[fact.Site], fact);
        }
#pragma warning disable CA1031 // whoever listens must not stop the flow
        catch (Exception failure)
#pragma warning restore CA1031
        {
            _log.Error(failure, "Event {Key} could not be told.", fact.Key);
        }
    }
}
