using System.Globalization;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Alerting;

/// <summary>
/// Decides which occasions reach the phone, and when. Everything waits at least to the next whole minute, so that what
/// comes at once is seen together and its order does not matter. Same inputs give the same decisions and ids.
/// </summary>
/// <remarks>
/// The way of an occasion: its cause is looked for; is it past; is it worth telling; is it news; it waits; the waiting
/// over, it may be put off, fall into quiet hours or above the day's count. The last two go out as the morning's one summary.
/// What came to several plantings of a site at once is one message. Whether something is news is asked of each planting by
/// itself, so a likely level never waits because a sibling's was told.
/// </remarks>
public sealed class AlertPolicy
{
    private readonly AlertPolicyOptions _options;
    private readonly EpisodeBook _book;
    private readonly WaitingRoom _waiting = new();
    private readonly LevelBook _levels = new();
    private readonly SilenceBook _silences;
    private readonly Dictionary<(string? Site, string Planting), DateOnly> _lastChances = [];
    private DateTimeOffset _now = DateTimeOffset.MinValue;
    private DateOnly _countedDay;
    private int _sentThatDay;

    /// <summary>Starts with nothing told.</summary>
    public AlertPolicy(AlertPolicyOptions options)
    {
        _options = options;
        _book = new EpisodeBook(options.RepeatAfter);
        _silences = new SilenceBook(_waiting, _book);
    }

    /// <summary>Something came about. It is seen now: at its own time or the latest time let pass, whichever is later.</summary>
    /// <returns><see cref="Hold"/> or <see cref="Drop"/>; what was held is decided by <see cref="AdvanceTo"/>.</returns>
    public Decision Consider(Occasion occasion)
    {
        Reach(occasion.At);
        if (_silences.Screen(occasion, out var returned) is { } explained)
        {
            if (returned is not null)
                _waiting.Note(TakeUp(returned));
            return new Drop(occasion, explained);
        }

        return TakeUp(occasion);
    }

    /// <summary>Time passed: decides on what has waited long enough.</summary>
    /// <returns>Every decision made since the last call but those that <see cref="Consider"/> has returned.</returns>
    public IReadOnlyList<Decision> AdvanceTo(DateTimeOffset time)
    {
        Reach(time);
        return _waiting.TakeDecisions();
    }

    /// <summary>The grower answered.</summary>
    /// <returns>What that does, as a sentence.</returns>
    public string Answer(Answer answer)
    {
        Reach(answer.At);
        if (!_book.Knows(answer.Episode))
            return $"No alert of the episode '{answer.Episode}' is known, so there is nothing to answer; "
                + "use the episode that came with the alert.";
        switch (answer)
        {
            case LaterAnswer later when later.Until <= later.At:
                return "The wait would end before it begins; give a later time.";
            case LaterAnswer later:
                _book.PutOffUntil(later.Episode, later.Until);
                return $"Nothing of '{later.Episode}' before {Local(later.Until)}.";
            default:
                foreach (var back in _waiting.Drop(held => held.Episode == answer.Episode, DropReason.Seen).OfType<SensorsBack>())
                    _silences.End(back);
                return $"Nothing more of '{answer.Episode}' unless it gets worse.";
        }
    }

    private string Local(DateTimeOffset moment) =>
        TimeZoneInfo.ConvertTime(moment, _options.Zone).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    private Decision TakeUp(Occasion occasion)
    {
        if (
            (
                Past(occasion, _now)
                ?? Unworthy(occasion)
                ?? _levels.Refusal(occasion, _now)
                ?? AskedAlready(occasion)
                ?? _book.TakeUp(occasion, _now)
            ) is
            { } reason)
            return Refuse(occasion, reason);

        if (occasion is SprayLastChance chance)
        {
            _lastChances[(chance.Site, chance.PlantingId)] = DayOf(_now);
            _waiting.Drop(
                held => held is LookAtBuds && held.Site == occasion.Site && held.Planting == occasion.Planting,
                DropReason.LookInLastChance);
        }

        if (occasion is LevelRisen level)
            _levels.Note(level, _now);
        _waiting.Drop(held => held.Subject == occasion.Subject && held.Rung < occasion.Rung, DropReason.HigherRung);
        var (hold, why) = occasion.Wait switch
        {
            Wait.None => (TimeSpan.Zero, "goes out with the minute"),
            Wait.FurtherRise => (_options.LevelHold, "a further rise may take its place"),
            Wait.OtherSensors => (_options.SilenceGrace, "other sensors of the site may follow"),
            Wait.Morning => (UntilMorning(), "a reminder of the day waits for the morning"),
            Wait.Daytime => (UntilDaytime(), "a slot found at night waits for the morning"),
        };
        return _waiting.Seat(new WaitingRoom.Guest(occasion, MinuteAfter(_now) + hold), why);
    }

    private Drop Refuse(Occasion occasion, DropReason reason)
    {
        if (occasion is SensorsBack back)
            _silences.End(back);
        return new Drop(occasion, reason);
    }

    private static DropReason? Past(Occasion occasion, DateTimeOffset moment) => occasion.UsefulUntil > moment ? null : DropReason.Past;

    /// <summary>
    /// Of a look at the buds and a last chance to spray on one day only the last chance goes out: it asks for the look, too.
    /// </summary>
    private DropReason? AskedAlready(Occasion occasion) =>
        occasion is LookAtBuds look && _lastChances.TryGetValue((look.Site, look.PlantingId), out var day) && day == DayOf(_now)
            ? DropReason.LookInLastChance
            : null;

    private DropReason? Unworthy(Occasion occasion) => occasion switch
    {
        LevelRisen { To: Level.Unknown } => DropReason.MissingData,
        LevelRisen risen when risen.To <= risen.From => DropReason.LevelFell,
        LevelRisen or WindowAhead when occasion.Level < _options.LeastLevel => DropReason.BelowLeastLevel,
        _ => null,
    };

    private void Reach(DateTimeOffset time)
    {
        while (_waiting.NextDue is { } due && due <= time)
            ReleaseAt(due);
        if (time > _now)
            _now = time;
    }

    private void ReleaseAt(DateTimeOffset moment)
    {
        var due = _waiting.Take(guest => guest.Due == moment);
        Gather(due, moment);
        TakeAlong(due);
        var ready = new List<WaitingRoom.Guest>();
        foreach (var guest in due.OrderByDescending(guest => guest.Occasion.Urgency)
            .ThenByDescending(guest => guest.Occasion.Level)
            .ThenBy(guest => guest.Occasion.Episode, StringComparer.Ordinal)
            .ThenBy(guest => guest.Occasion.Kind, StringComparer.Ordinal))
        {
            if (WhyNotAtAll(guest, moment) is { } decision)
                _waiting.Note(decision);
            else
                ready.Add(guest);
        }

        foreach (var news in Alert.News(ready.Where(guest => !guest.Morning).Select(guest => guest.Occasion)))
        {
            if (!MustWait(news, moment))
                Send(
                    Alert.Together([.. news.Select(_silences.Tell)], moment),
                    news.Any(occasion => occasion.IsSevere) ? "a severe level is told whatever the day's count" : "within the day's count");
        }

        List<Occasion> morning = [.. ready.Where(guest => guest.Morning).Select(guest => _silences.Tell(guest.Occasion))];
        var pieces = Alert.News(morning).Count;
        if (pieces == 1)
            _waiting.Note(new Send(Alert.Together(morning, moment), "had waited for the morning"));
        else if (pieces > 1)
            _waiting.Note(new Send(Alert.Of(morning, moment), "what had waited for the morning goes out as one"));
    }

    /// <summary>A level goes out: a sibling's that still waits whether it rises further goes with it.</summary>
    private void TakeAlong(List<WaitingRoom.Guest> due)
    {
        foreach (var site in due.Where(IsFirstHold).Select(guest => guest.Occasion.Site).Distinct().ToList())
            due.AddRange(_waiting.Take(guest => IsFirstHold(guest) && guest.Occasion.Site == site));
    }

    private static bool IsFirstHold(WaitingRoom.Guest guest) => guest is { Occasion: LevelRisen, Settled: false };

    /// <summary>The sensors of a site whose grace is over become one hub with those whose grace still runs.</summary>
    private void Gather(List<WaitingRoom.Guest> due, DateTimeOffset moment)
    {
        foreach (var site in due.Where(IsInGrace).Select(guest => guest.Occasion.Site).Distinct().ToList())
        {
            bool OfSite(WaitingRoom.Guest guest) => IsInGrace(guest) && guest.Occasion.Site == site;
            var over = due.FindAll(OfSite);
            var running = _waiting.Take(OfSite);
            List<SensorSilent> others = [.. over.Skip(1).Concat(running).Select(guest => (SensorSilent)guest.Occasion)];
            if (_silences.Gather((SensorSilent)over[0].Occasion, others) is not { } hub)
                continue;
            due.RemoveAll(OfSite);
            if (_book.TakeUp(hub, moment) is { } stale)
                _waiting.Note(new Drop(hub, stale));
            else
                due.Add(new WaitingRoom.Guest(hub, moment));
        }
    }

    private static bool IsInGrace(WaitingRoom.Guest guest) => guest is { Occasion: SensorSilent, Settled: false };

    /// <summary>The decision on an occasion whose waiting is over that by itself still does not go out; <c>null</c>: it may.</summary>
    private Decision? WhyNotAtAll(WaitingRoom.Guest guest, DateTimeOffset moment)
    {
        var occasion = guest.Occasion;
        if (Past(occasion, moment) is { } past)
            return Refuse(occasion, past);
        if (occasion is SensorsBack back && _silences.IsVoid(back))
            return new Drop(occasion, DropReason.SilentAgain);
        if (_book.WaitsUntil(occasion.Episode, moment) is { } putOff)
            return _waiting.Seat(new WaitingRoom.Guest(occasion, MinuteAfter(putOff), Settled: true), "put off");
        return null;
    }

    /// <summary>Whether a piece of news waits for the morning; what is severe takes its siblings along.</summary>
    private bool MustWait(IReadOnlyList<Occasion> news, DateTimeOffset moment)
    {
        var severe = news.Any(occasion => occasion.IsSevere);
        var (due, why) = _options.Quiet?.EndAt(moment, _options.Zone) is { } quietEnd && !(severe && _options.SeverePassesQuiet)
            ? (quietEnd, "quiet hours")
            : !severe && SentOn(moment) >= _options.MaxPerDay
                ? (
                    (DateTimeOffset?)MorningAfter(moment),
                    $"{_options.MaxPerDay} messages have gone out today; the rest are summed up in the morning")
            : (null, "");
        foreach (var occasion in due is null ? [] : news)
            _waiting.Note(_waiting.Seat(new WaitingRoom.Guest(occasion, due!.Value, Settled: true, Morning: true), why));
        return due is not null;
    }

    private void Send(Alert alert, string reason)
    {
        _sentThatDay = SentOn(alert.At) + (alert.Occasions.Any(occasion => occasion.IsSevere) ? 0 : 1);
        _countedDay = DayOf(alert.At);
        _waiting.Note(new Send(alert, reason));
    }

    private int SentOn(DateTimeOffset moment) => DayOf(moment) == _countedDay ? _sentThatDay : 0;

    private DateOnly DayOf(DateTimeOffset moment) => LocalDay.Of(moment, _options.Zone);

    private DateTimeOffset MorningAfter(DateTimeOffset moment)
    {
        var tomorrow = DayOf(moment).AddDays(1);
        return _options.Quiet?.EndOn(tomorrow, _options.Zone) ?? LocalClock.Last(tomorrow, _options.MorningAt, _options.Zone);
    }

    private TimeSpan UntilMorning()
    {
        var morning = LocalClock.Last(DayOf(_now), _options.MorningAt, _options.Zone);
        return morning > MinuteAfter(_now) ? morning - MinuteAfter(_now) : TimeSpan.Zero;
    }

    /// <summary>Nobody sprays at night: what is found from late evening on waits for the morning, with quiet hours or without.</summary>
    private TimeSpan UntilDaytime()
    {
        var clock = TimeOnly.FromDateTime(TimeZoneInfo.ConvertTime(_now, _options.Zone).DateTime);
        return clock < _options.EveningAt
            ? UntilMorning()
            : LocalClock.Last(DayOf(_now).AddDays(1), _options.MorningAt, _options.Zone) - MinuteAfter(_now);
    }

    private static DateTimeOffset MinuteAfter(DateTimeOffset time) => ClockMinute.Of(time).AddMinutes(1);
}
