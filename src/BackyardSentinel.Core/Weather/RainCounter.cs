namespace BackyardSentinel.Weather;

/// <summary>What there is to say about a rain total beside its amount.</summary>
public enum RainTotalNote
{
    /// <summary>Nothing.</summary>
    None,

    /// <summary>The first total: amounts are counted from here.</summary>
    First,

    /// <summary>It leapt; whether that was rain shows with the next one.</summary>
    Leapt,

    /// <summary>It fell; whether the gauge was reset shows in ten minutes.</summary>
    Fell,

    /// <summary>It stayed low: the gauge was reset.</summary>
    Reset,

    /// <summary>It leapt further than rain falls and stayed there: amounts are counted from there.</summary>
    TooFar,

    /// <summary>It is below zero, so it is none.</summary>
    BelowZero,
}

/// <summary>
/// Turns the running total of one rain gauge into amounts, so that no rain is invented: a total that falls and comes back,
/// or leaps and falls back, is a glitch and gives nothing; a gauge counts as reset when its total has stayed low. What is
/// counted is never more than fell plus one tip for each reset. Exact where nothing of the kind happens, but a leap of more
/// than 2 mm in ten minutes is counted one message late. One case cannot be told from rain when it comes: after a reset that
/// is not confirmed yet, a glitch that lands above the old total by one tip at most. It counts as that tip, and once the
/// reset is confirmed the rain that came since pays for it.
/// </summary>
public sealed class RainCounter
{
    /// <summary>The largest usual tip, mm; a total this small right after a reset is counted as rain.</summary>
    public const double OneTipMm = 0.3;

    /// <summary>A drop this small is rounding on the sensor's side, mm.</summary>
    private const double RoundingMm = 0.05;

    /// <summary>More than this in ten minutes, mm, is counted only when the next total confirms it (ASSUMED).</summary>
    private const double LeapMmPerTenMinutes = 2;

    /// <summary>More than this at once, mm, waits for the next total however long ago the last one is (ASSUMED).</summary>
    private const double LeapMm = 10;

    /// <summary>
    /// More than this in ten minutes, mm, is a fault of the gauge (ASSUMED; beyond recorded extremes of gardens). Over longer times the
    /// greatest rains grow as the square root of the time (A. H. Jennings 1950, World's greatest observed point rainfalls; from memory).
    /// </summary>
    private const double CapMmPerTenMinutes = 50;

    /// <summary>More than this between two totals, however far apart, mm, is a fault or a new gauge (ASSUMED).</summary>
    private const double CapMm = 300;

    /// <summary>A total that stays low so long was reset; boards that restore their count do so sooner (ASSUMED).</summary>
    private static readonly TimeSpan UntilReset = TimeSpan.FromMinutes(10);

    private double? _counted;
    private DateTimeOffset _at;

    // What was counted last and no later total has confirmed: the total before it.
    private double? _unconfirmedFrom;
    private double _debt;

    // What was counted last when the total came back from a fall, until a later total confirms it.
    private double _doubtful;
    private double? _beforeReset;
    private (double Total, DateTimeOffset At)? _leap;
    private Fall? _fall;

    /// <summary>The total up to which rain has been counted, mm; <c>null</c> before the first.</summary>
    public double? Counted => _counted;

    /// <summary>The time of <see cref="Counted"/>, UTC.</summary>
    public DateTimeOffset At => _at;

    /// <summary>Goes on from a total that was counted up to before.</summary>
    public void Seed(double total, DateTimeOffset time) => (_counted, _at) = (total, time);

    /// <summary>Takes the next total.</summary>
    /// <param name="total">The total, mm.</param>
    /// <param name="time">Its time; not before the one before.</param>
    /// <param name="note">What there is to say.</param>
    /// <returns>What fell since the amount before, mm, 0 or more; <c>null</c>: not known yet, or no total.</returns>
    public double? Advance(double total, DateTimeOffset time, out RainTotalNote note)
    {
        note = RainTotalNote.None;
        if (!(total >= 0) || double.IsInfinity(total))
        {
            note = RainTotalNote.BelowZero;
            return null;
        }

        if (_counted is null)
        {
            (_counted, _at, note) = (total, time, RainTotalNote.First);
            return null;
        }

        double? sure = null;
        if (_leap is { } leapt)
        {
            _leap = null;
            if (total >= leapt.Total - RoundingMm)
                sure = Confirm(leapt, ref note);
            else
                _fall = null; // It went up and down again: what looked like a reset has to stay low from now on.
        }

        var more = total >= _counted - RoundingMm ? Rise(total, time, ref note) : Drop(total, time, ref note);
        return sure is { } amount ? amount + (more ?? 0) : more;
    }

    /// <summary>A leap was no glitch: the next total stands at least as high.</summary>
    private double Confirm((double Total, DateTimeOffset At) leapt, ref RainTotalNote note)
    {
        _fall = null;
        // A board may come back late with the count of before a reset: then only what lies above that fell.
        var from = _beforeReset is { } before && leapt.Total >= before - RoundingMm ? Math.Max(before, _counted!.Value) : _counted!.Value;
        var amount = Math.Max(0, leapt.Total - from);
        var believable = Math.Min(CapMm, CapMmPerTenMinutes * Math.Sqrt(TenMinutes(leapt.At)));
        (_unconfirmedFrom, _counted, _at, _doubtful) = (from, leapt.Total, leapt.At, 0);
        if (amount <= believable)
            return Paid(amount);
        (note, _unconfirmedFrom) = (RainTotalNote.TooFar, null);
        return 0;
    }

    private double? Rise(double total, DateTimeOffset time, ref RainTotalNote note)
    {
        var grown = total - _counted!.Value;
        if (grown <= 0)
        {
            (_at, _fall, _unconfirmedFrom, _doubtful) = (time, null, null, 0);
            return 0;
        }

        // After a fall a leap may land above the old total by chance.
        if (grown > (_fall is null ? Math.Min(LeapMm, LeapMmPerTenMinutes * TenMinutes(time)) : OneTipMm))
        {
            (_leap, note) = ((total, time), note == RainTotalNote.None ? RainTotalNote.Leapt : note);
            return null;
        }

        (_unconfirmedFrom, _counted, _at, _doubtful, _fall) = (_counted, total, time, _fall is null ? 0 : grown, null);
        return Paid(grown);
    }

    private double Drop(double total, DateTimeOffset time, ref RainTotalNote note)
    {
        // The last rise is taken back: what it counted is paid by the rain to come.
        if (_unconfirmedFrom is { } from && total >= from - RoundingMm && total > OneTipMm)
        {
            _debt += _counted!.Value - total;
            (_counted, _at, _unconfirmedFrom, _doubtful, _fall) = (total, time, null, 0, null);
            return 0;
        }

        if (_fall is null || total < _fall.Count._counted - RoundingMm)
        {
            _fall = new Fall(total, time);
            note = RainTotalNote.Fell;
            return 0;
        }

        _fall.Gained += _fall.Count.Advance(total, time, out _) ?? 0;
        if (time - _fall.Since < UntilReset)
            return 0;
        var amount = (_fall.First <= OneTipMm ? _fall.First : 0) + _fall.Gained;
        var count = _fall.Count;
        _debt += _doubtful;
        (_beforeReset, _counted, _at, _leap, _unconfirmedFrom, _doubtful, _fall) = (
            _counted,
            count._counted,
            count._at,
            count._leap,
            count._unconfirmedFrom,
            0,
            null);
        note = RainTotalNote.Reset;
        return Paid(amount);
    }

    private double Paid(double amount)
    {
        var paid = Math.Min(_debt, amount);
        _debt -= paid;
        return amount - paid;
    }

    private double TenMinutes(DateTimeOffset time) => Math.Max(1, (time - _at).TotalMinutes / 10);

    /// <summary>A count that began lower, and may be a reset or a glitch.</summary>
    private sealed class Fall
    {
        public Fall(double total, DateTimeOffset time)
        {
            (First, Since) = (total, time);
            Count.Seed(total, time);
        }

        public double First { get; }

        public DateTimeOffset Since { get; }

        public double Gained { get; set; }

        public RainCounter Count { get; } = new();
    }
}
