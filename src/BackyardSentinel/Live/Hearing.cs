using BackyardSentinel.Storage;
using Microsoft.Data.Sqlite;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>Whether the service hears its sensors, with what the store keeps of it. Used by the loop's thread only.</summary>
internal sealed class Hearing
{
    private readonly Listening _listening;
    private readonly SentinelStore _store;
    private readonly ILogger _log;

    /// <param name="store">Keeps until when the service has listened.</param>
    /// <param name="isUp">The link is up; <c>null</c>: what is offered comes from nowhere else.</param>
    /// <param name="time">The clock of waits.</param>
    /// <param name="log">Where sentences go.</param>
    public Hearing(SentinelStore store, Func<bool>? isUp, TimeProvider time, ILogger log)
    {
        (_store, _log) = (store, log);
        var heard = Until(store);
        _listening = new Listening(
            time,
            isUp,
            heard < time.GetUtcNow() ? heard : null,
            DateTimeOffset.FromUnixTimeMilliseconds(Math.Clamp(store.LastTimeMs(), StoredTime.FirstMs, StoredTime.LastMs)));
    }

    /// <summary>What waited at the broker has come: the clock may close intervals.</summary>
    public bool MayJudge => _listening.MayJudge;

    /// <summary>An outage runs, or what waited meanwhile is not judged yet.</summary>
    public bool IsOutage => _listening.IsOutage;

    /// <summary>What waited at the broker is coming in.</summary>
    public bool IsCatchingUp => _listening.IsCatchingUp;

    /// <summary>Until when the service is known to have listened before this start.</summary>
    public static DateTimeOffset? Until(SentinelStore store)
    {
        var stored = store.LastReceivedUs() is > 0 and var us ? StoredTime.ToMoment(us) : (DateTimeOffset?)null;
        return store.Listened() is { } noted && !(stored > noted) ? noted : stored;
    }

    /// <summary>A reading came.</summary>
    public void Heard(DateTimeOffset time, DateTimeOffset now) => _listening.Heard(time, now);

    /// <summary>Looks at the link. When listening had stopped, what stood before does not stand for the gap.</summary>
    /// <param name="now">Now.</param>
    /// <param name="season">Told since when nothing could be heard: values from before are not stretched over the gap.</param>
    /// <param name="rows">The next to be stored; a gap comes into the store with, or before, what is judged after it.</param>
    public void Look(DateTimeOffset now, SeasonFeed season, StoreBatch rows)
    {
        if (_listening.Look(now) is not { } since)
            return;
        _log.Warning(
            "Nothing could be heard from {Since:u} on, for {Span} by now: what the broker kept is judged at its own time, "
                + "the rest of the gap is unknown.",
            since,
            Spans.Words(now - since));
        season.Interrupt(since);
        rows.Outages.Add(since);
    }

    /// <summary>Writes down now and then until when the service has listened.</summary>
    /// <param name="now">Now.</param>
    /// <param name="storedAt">When the last reading was stored.</param>
    public void Note(DateTimeOffset now, DateTimeOffset storedAt)
    {
        if (_listening.Note(now, storedAt) is { } until)
            Write(until);
    }

    /// <summary>Writes down at the end until when the service has listened.</summary>
    public void NoteEnd(DateTimeOffset now) => Write(_listening.Until(now));

    private void Write(DateTimeOffset until)
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
}
