using BackyardSentinel.Alerting;
using BackyardSentinel.Storage;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Live;

/// <summary>
/// The time that counts: the garden's clock with what is to be told of it, or, where a season passes in fast time, the
/// readings' own times. Used by the loop's thread only.
/// </summary>
internal sealed class LoopClock
{
    /// <summary>So long before the first reading in the store a clock may stand (assumed).</summary>
    private static readonly TimeSpan LongestBefore = TimeSpan.FromHours(12);

    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly Stamps _stamps;
    private readonly GardenClock? _wall;
    private bool _wasInTrouble;

    /// <param name="isTheReadings">The readings' own times are the clock.</param>
    /// <param name="store">What has been lived through.</param>
    /// <param name="stamps">The moments of arrival.</param>
    /// <param name="time">The computer's clock.</param>
    /// <param name="log">Where sentences go.</param>
    /// <param name="isSet">A time server has set the computer's clock; <c>null</c>: that is never known.</param>
    public LoopClock(bool isTheReadings, SentinelStore store, Stamps stamps, TimeProvider time, ILogger log, Func<bool>? isSet = null)
    {
        (_stamps, _time, _log) = (stamps, time, log);
        if (isTheReadings)
            return;
        var heard = Hearing.Until(store);
        var first = store.FirstTime();
        _wall = new GardenClock(
            time,
            heard,
            moment => !(moment < first - LongestBefore),
            moment => store.LivedOn(moment, heard ?? moment),
            isSet);
    }

    /// <summary>The readings' own times are the clock.</summary>
    public bool IsTheReadings => _wall is null;

    /// <summary>The time that counts, UTC.</summary>
    public DateTimeOffset Now => _wall?.Now ?? StoredTime.ToMoment(_stamps.LastUs);

    /// <summary>Until when what is stored can be true.</summary>
    public DateTimeOffset StoredUntil => _wall?.StoredUntil ?? DateTimeOffset.MaxValue;

    /// <summary>It is not known what to believe: nothing may be taken.</summary>
    public bool IsDoubtful => _wall is { IsDoubtful: true };

    /// <summary>The trouble with the computer's clock that stands; <c>null</c>: none.</summary>
    public ClockWrong? Wrong { get; private set; }

    /// <summary>Looks at the computer's clock, and says what it has done.</summary>
    public ClockNews Look()
    {
        if (_wall is not { } clock)
            return ClockNews.None;
        var news = clock.Look();
        switch (news)
        {
            case ClockNews.Doubted:
                _log.Warning(
                    "The computer's clock has leapt by {Off} to {Wall:u}. Nothing is taken until it has stood by that for {Patience} s.",
                    Spans.Words(clock.OffBy),
                    _time.GetUtcNow(),
                    GardenClock.Patience.TotalSeconds);
                break;
            case ClockNews.Behind:
                _log.Warning(
                    "The computer's clock says {Wall:u}, {Off} behind what the store has lived through: it has lost its time. "
                        + "Time is counted on from {Now:u} until it is set; set it, or let the network set it.",
                    _time.GetUtcNow(),
                    Spans.Words(-clock.OffBy),
                    clock.Now);
                Wrong = new ClockWrong(clock.Now, clock.OffBy);
                break;
            case ClockNews.SetBack:
                break; // What was stamped meanwhile is the loop's to set aside, and to tell.
            case ClockNews.None:
                break; // It runs, or the doubt goes on.
        }

        if (!clock.IsIgnored)
            Wrong = null;
        var isInTrouble = clock.IsDoubtful || clock.IsIgnored;
        if (_wasInTrouble && !isInTrouble && news != ClockNews.SetBack)
            _log.Information("The computer's clock is believed again: it is {Now:u}.", clock.Now);
        _wasInTrouble = isInTrouble;
        return news;
    }
}
