using System.Globalization;
using BackyardSentinel.Garden;
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
    private readonly AlertPolicyOptions options;
    private readonly EpisodeBook book;
    private readonly WaitingRoom waiting = new();
    private readonly LevelBook levels = new();
    private readonly SilenceBook silences;
    private readonly Dictionary<(string? Site, string Planting), DateOnly> lastChances = [];
    private DateTimeOffset now = DateTimeOffset.MinValue;
    private DateOnly countedDay;
    private int sentThatDay;

    /// <summary>Starts with nothing told.</summary>
    public AlertPolicy(AlertPolicyOptions options)
    {
        this.options = options;
        book = new EpisodeBook(options.RepeatAfter);
        silences = new SilenceBook(waiting);
    }

    /// <summary>Something came about. It is seen now: at its own time or the latest time let pass, whichever is later.</summary>
    /// <returns><see cref="Hold"/> or <see cref="Drop"/>; what was held is decided by <see cref="AdvanceTo"/>.</returns>
    public Decision Consider(Occasion occasion)
    {
        Reach(occasion.At);
        if (silences.Screen(occasion, out var returned) is { } explained)
        {
            if (returned is not null)
                waiting.Note(TakeUp(returned));
            return new Drop(occasion, explained);
        }

        return TakeUp(occasion);
    }

    /// <summary>Time passed: decides on what has waited long enough.</summary>
    /// <returns>Every decision made since the last call but those that <see cref="Consider"/> has returned.</returns>
    public IReadOnlyList<Decision> AdvanceTo(DateTimeOffset time)
    {
        Reach(time);
        return waiting.TakeDecisions();
    }

    /// <summary>The grower answered.</summary>
    /// <returns>What that does, as a sentence.</returns>
    public string Answer(Answer answer)
    {
        Reach(answer.At);
        if (!book.Knows(answer.Episode))
            return $"No alert of the episode '{answer.Episode}' is known, so there is nothing to answer; use the episode that came with the alert.";
        switch (answer)
        {
            case LaterAnswer later when later.Until <= later.At:
                return "The wait would end before it begins; give a later time.";
            case LaterAnswer later:
                book.PutOffUntil(later.Episode, later.Until);
                return $"Nothing of '{later.Episode}' before {Local(later.Until)}.";
            default:
                foreach (var back in waiting.Drop(held => held.Episode == answer.Episode, DropReason.Seen).OfType<HubBack>())
                    silences.End(back);
                return $"Nothing more of '{answer.Episode}' unless it gets worse.";
        }
    }

    private string Local(DateTimeOffset moment) => TimeZoneInfo.ConvertTime(moment, options.Zone).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    private Decision TakeUp(Occasion occasion)
    {
        if ((Past(occasion, now) ?? Unworthy(occasion) ?? levels.Refusal(occasion, now) ?? AskedAlready(occasion) ?? book.TakeUp(occasion, now)) is { } reason)
            return Refuse(occasion, reason);

        if (occasion is SprayLastChance chance)
        {
            lastChances[(chance.Site, chance.PlantingId)] = DayOf(now);
            waiting.Drop(held => held is LookAtBuds && held.Site == occasion.Site && held.Planting == occasion.Planting, DropReason.LookInLastChance);
        }

        if (occasion is LevelRisen level)
            levels.Note(level, now);
        waiting.Drop(held => held.Subject == occasion.Subject && held.Rung < occasion.Rung, DropReason.HigherRung);
        var (hold, why) = occasion switch
        {
            LevelRisen => (options.LevelHold, "a further rise may take its place"),
            SensorSilent or HubBack => (options.SilenceGrace, "other sensors of the site may follow"),
            LookAtBuds or NeedsNotMet or ScoutingDue or PickingDue or SeasonClosed or LeafFallSprayDue or SprayDeadlineNear or SprayLastChance or ShelterDue => (UntilMorning(), "a reminder of the day waits for the morning"),
            SpraySlotFound => (UntilDaytime(), "a slot found at night waits for the morning"),
            _ => (TimeSpan.Zero, "goes out with the minute"),
        };
        return waiting.Seat(new WaitingRoom.Guest(occasion, MinuteAfter(now) + hold), why);
    }

    private Drop Refuse(Occasion occasion, DropReason reason)
    {
        if (occasion is HubBack back)
            silences.End(back);
        return new Drop(occasion, reason);
    }

    private static DropReason? Past(Occasion occasion, DateTimeOffset moment) => occasion.UsefulUntil > moment ? null : DropReason.Past;

    /// <summary>Of a look at the buds and a last chance to spray on one day only the last chance goes out: it asks for the look, too.</summary>
    private DropReason? AskedAlready(Occasion occasion) =>
        occasion is LookAtBuds look && lastChances.TryGetValue((look.Site, look.PlantingId), out var day) && day == DayOf(now) ? DropReason.LookInLastChance : null;

    private DropReason? Unworthy(Occasion occasion) => occasion switch
    {
        LevelRisen { To: Level.Unknown } => DropReason.MissingData,
        LevelRisen risen when risen.To <= risen.From => DropReason.LevelFell,
        LevelRisen or WindowAhead when occasion.Level < options.LeastLevel => DropReason.BelowLeastLevel,
        _ => null,
    };

    private void Reach(DateTimeOffset time)
    {
        while (waiting.NextDue is { } due && due <= time)
        {
            now = due;
            ReleaseAt(due);
        }

        if (time > now)
            now = time;
    }

    private void ReleaseAt(DateTimeOffset moment)
    {
        var due = waiting.Take(guest => guest.Due == moment);
        Gather(due, moment);
        TakeAlong(due);
        var ready = new List<WaitingRoom.Guest>();
        foreach (var guest in due.OrderByDescending(guest => guest.Occasion.Urgency)
            .ThenByDescending(guest => guest.Occasion.Level)
            .ThenBy(guest => guest.Occasion.Episode, StringComparer.Ordinal)
            .ThenBy(guest => guest.Occasion.Kind, StringComparer.Ordinal))
        {
            if (WhyNotAtAll(guest, moment) is { } decision)
                waiting.Note(decision);
            else
                ready.Add(guest);
        }

        foreach (var news in Alert.News(ready.Where(guest => !guest.Morning).Select(guest => guest.Occasion)))
        {
            if (!MustWait(news, moment))
                Send(Alert.Together([.. news.Select(silences.Tell)], moment), news.Any(occasion => occasion.IsSevere) ? "a severe level is told whatever the day's count" : "within the day's count");
        }

        List<Occasion> morning = [.. ready.Where(guest => guest.Morning).Select(guest => silences.Tell(guest.Occasion))];
        var pieces = Alert.News(morning).Count;
        if (pieces == 1)
            waiting.Note(new Send(Alert.Together(morning, moment), "had waited for the morning"));
        else if (pieces > 1)
            waiting.Note(new Send(Alert.Of(morning, moment), "what had waited for the morning goes out as one"));
    }

    /// <summary>A level goes out: a sibling's that still waits whether it rises further goes with it.</summary>
    private void TakeAlong(List<WaitingRoom.Guest> due)
    {
        foreach (var site in due.Where(IsFirstHold).Select(guest => guest.Occasion.Site).Distinct().ToList())
            due.AddRange(waiting.Take(guest => IsFirstHold(guest) && guest.Occasion.Site == site));
    }

    private static bool IsFirstHold(WaitingRoom.Guest guest) => guest is { Occasion: LevelRisen, Settled: false };

    /// <summary>The sensors of a site whose grace is over become one hub with those whose grace still runs.</summary>
    private void Gather(List<WaitingRoom.Guest> due, DateTimeOffset moment)
    {
        foreach (var site in due.Where(IsInGrace).Select(guest => guest.Occasion.Site).Distinct().ToList())
        {
            bool OfSite(WaitingRoom.Guest guest) => IsInGrace(guest) && guest.Occasion.Site == site;
            var over = due.FindAll(OfSite);
            var running = waiting.Take(OfSite);
            List<SensorSilent> others = [.. over.Skip(1).Concat(running).Select(guest => (SensorSilent)guest.Occasion)];
            if (silences.Gather((SensorSilent)over[0].Occasion, others) is not { } hub)
                continue;
            due.RemoveAll(OfSite);
            if (book.TakeUp(hub, moment) is { } stale)
                waiting.Note(new Drop(hub, stale));
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
        if (occasion is HubBack back && silences.IsVoid(back))
            return new Drop(occasion, DropReason.SilentAgain);
        if (book.WaitsUntil(occasion.Episode, moment) is { } putOff)
            return waiting.Seat(new WaitingRoom.Guest(occasion, MinuteAfter(putOff), Settled: true), "put off");
        return null;
    }

    /// <summary>Whether a piece of news waits for the morning; what is severe takes its siblings along.</summary>
    private bool MustWait(IReadOnlyList<Occasion> news, DateTimeOffset moment)
    {
        var severe = news.Any(occasion => occasion.IsSevere);
        var (due, why) = options.Quiet?.EndAt(moment, options.Zone) is { } quietEnd && !(severe && options.SeverePassesQuiet)
            ? (quietEnd, "quiet hours")
            : !severe && SentOn(moment) >= options.MaxPerDay
                ? ((DateTimeOffset?)MorningAfter(moment), $"{options.MaxPerDay} messages have gone out today; the rest are summed up in the morning")
                : (null, "");
        foreach (var occasion in due is null ? [] : news)
            waiting.Note(waiting.Seat(new WaitingRoom.Guest(occasion, due!.Value, Settled: true, Morning: true), why));
        return due is not null;
    }

    private void Send(Alert alert, string reason)
    {
        sentThatDay = SentOn(alert.At) + (alert.Occasions.Any(occasion => occasion.IsSevere) ? 0 : 1);
        countedDay = DayOf(alert.At);
        waiting.Note(new Send(alert, reason));
    }

    private int SentOn(DateTimeOffset moment) => DayOf(moment) == countedDay ? sentThatDay : 0;

    private DateOnly DayOf(DateTimeOffset moment) => LocalDay.Of(moment, options.Zone);

    private DateTimeOffset MorningAfter(DateTimeOffset moment)
    {
        var tomorrow = DayOf(moment).AddDays(1);
        return options.Quiet?.EndOn(tomorrow, options.Zone) ?? LocalClock.Last(tomorrow, options.MorningAt, options.Zone);
    }

    private TimeSpan UntilMorning()
    {
        var morning = LocalClock.Last(DayOf(now), options.MorningAt, options.Zone);
        return morning > MinuteAfter(now) ? morning - MinuteAfter(now) : TimeSpan.Zero;
    }

    /// <summary>Nobody sprays at night: what is found from late evening on waits for the morning, with quiet hours or without.</summary>
    private TimeSpan UntilDaytime()
    {
        var clock = TimeOnly.FromDateTime(TimeZoneInfo.ConvertTime(now, options.Zone).DateTime);
        return clock < options.EveningAt ? UntilMorning() : LocalClock.Last(DayOf(now).AddDays(1), options.MorningAt, options.Zone) - MinuteAfter(now);
    }

    private static DateTimeOffset MinuteAfter(DateTimeOffset time) =>
        new DateTimeOffset(time.UtcTicks - (time.UtcTicks % TimeSpan.TicksPerMinute), TimeSpan.Zero).AddMinutes(1);
}
