using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>
/// Whether the service hears its sensors, and how far the clock may judge because of it. After a start and after a lost
/// link what waits at the broker is taken first; only then does the clock close the gap. Used by the loop's thread only.
/// </summary>
public sealed class Listening
{
    /// <summary>A gap is closed at the latest so long after it was noticed, also without a broker.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    /// <summary>
    /// What waited has come when the link is up and nothing old has come for so long (assumed: many times the way to a broker and
    /// back).
    /// </summary>
    public static readonly TimeSpan Quiet = TimeSpan.FromSeconds(1);

    /// <summary>A reading older than this when it comes has waited somewhere.</summary>
    public static readonly TimeSpan Old = TimeSpan.FromMinutes(1);

    private static readonly TimeSpan NoteEvery = TimeSpan.FromMinutes(10);

    private readonly TimeProvider _time;
    private readonly Func<bool>? _isUp;
    private long _quietSince, _unsettledSince;
    private bool _wasUp, _settled, _noted, _hasHeard;
    private DateTimeOffset? _deafSince, _told, _looked;
    private DateTimeOffset _lastNote;
    private DateTimeOffset? _latest, _latestBefore;

    /// <summary>Begins to listen.</summary>
    /// <param name="time">The clock of waits.</param>
    /// <param name="isUp">The link is up; <c>null</c>: what is offered comes from nowhere else.</param>
    /// <param name="heardUntil">Until when the service is known to have listened; <c>null</c>: it never has.</param>
    /// <param name="latest">The latest time that a reading heard until then speaks of; <c>null</c>: none was heard.</param>
    public Listening(TimeProvider time, Func<bool>? isUp, DateTimeOffset? heardUntil, DateTimeOffset? latest = null)
    {
        (_time, _isUp, _deafSince, _latest, _latestBefore, _unsettledSince) = (
            time, isUp, heardUntil, latest, latest, time.GetTimestamp());
        _settled = isUp is null;
    }

    /// <summary>What waited at the broker has come, or has been waited for long enough: the clock may close intervals.</summary>
    public bool MayJudge { get; private set; }

    /// <summary>An outage runs, or what waited meanwhile is not judged yet.</summary>
    public bool IsOutage => _noted;

    /// <summary>What waited at the broker is coming in.</summary>
    public bool IsCatchingUp => !_settled;

    /// <summary>A reading came; one that has waited somewhere tells that more may follow.</summary>
    /// <param name="time">Its own time.</param>
    /// <param name="now">Now.</param>
    public void Heard(DateTimeOffset time, DateTimeOffset now)
    {
        if (!_settled && now - time > Old) _quietSince = _time.GetTimestamp();
        if (!(time < _latest)) _latest = time;
        _hasHeard = true;
    }

    /// <summary>Looks at the link.</summary>
    /// <param name="now">Now.</param>
    /// <returns>
    /// Since when an outage has lasted that has just become one, in whole milliseconds as it is stored; otherwise <c>null</c>. It begins
    /// behind the last that was said before it, also by a sensor whose clock is ahead.
    /// </returns>
    public DateTimeOffset? Look(DateTimeOffset now)
    {
        var up = _isUp?.Invoke() ?? true;
        // What waits at a broker that is back gets a patience of its own.
        if (up && !_wasUp)
        {
            _quietSince = _unsettledSince = _time.GetTimestamp();
            _hasHeard = false;
        }

        // What was heard in a moment between two gaps stands no further into the second than into the first.
        if (!up && _wasUp)
        {
            (_settled, _unsettledSince) = (false, _time.GetTimestamp());
            if (_hasHeard || _deafSince is null) (_deafSince, _latestBefore) = (now, _latest);
        }

        // The computer slept, or its clock was put on: nothing was heard meanwhile, though the link seems to have stood.
        if (up && _wasUp && now - _looked > Outages.Grace)
        {
            _quietSince = _unsettledSince = _time.GetTimestamp();
            _settled = false;
            if (_deafSince is null) (_deafSince, _latestBefore) = (_looked, _latest);
        }

        (_wasUp, _looked) = (up, now);
        DateTimeOffset? outage = null;
        if (_deafSince is { } since && since != _told && now - since > Outages.Grace)
            (outage, _told, _noted) = (Begin(since), since, true);
        var waited = _time.GetElapsedTime(_unsettledSince) >= Patience;
        if (up && !_settled) _settled = waited || _time.GetElapsedTime(_quietSince) >= Quiet;
        if (up && _settled) (_deafSince, _noted) = (null, false);
        MayJudge = _settled || waited;
        return outage;
    }

    /// <summary>Until when the service has listened, when it is time to write that down; readings that were stored tell as much.</summary>
    /// <param name="now">Now.</param>
    /// <param name="storedAt">When the last reading was stored.</param>
    public DateTimeOffset? Note(DateTimeOffset now, DateTimeOffset storedAt)
    {
        if (_deafSince is not null || now - (storedAt > _lastNote ? storedAt : _lastNote) < NoteEvery) return null;
        return _lastNote = now;
    }

    /// <summary>Until when the service has listened, at its end.</summary>
    /// <param name="now">Now.</param>
    public DateTimeOffset Until(DateTimeOffset now) => _deafSince ?? now;

    private DateTimeOffset Begin(DateTimeOffset deafSince)
    {
        var since = _latestBefore > deafSince && _latestBefore <= deafSince + SiteWatch.LargestLead ? _latestBefore.Value : deafSince;
        return since.AddTicks(-(since.Ticks % TimeSpan.TicksPerMillisecond));
    }
}
