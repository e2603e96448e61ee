using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>
/// The running total of one rain gauge among the messages: amounts by <see cref="RainCounter"/>, and what there is to say.
/// </summary>
/// <param name="map">Its series.</param>
internal sealed class RainGauge(SeriesMap map)
{
    /// <summary>
    /// A counter that rolls over counts on by no more than rain falls, mm, and by no more than a quarter of a turn: of a small
    /// counter a rise, a roll-over, a copy and a reset could not be told apart otherwise (assumed, as for every total).
    /// </summary>
    private const double MostPastTheTopMm = 50, MostOfTurn = 0.25;

    /// <summary>So many falls within a day are no resets but amounts that were taken for a total.</summary>
    private const int FallsOfAmounts = 4;

    private readonly string _series = map.Name;
    private readonly Unit _unit = map.Unit;
    private readonly double? _turnMm = map.RollsOverAt is { } most ? map.Unit.ToReckoned(most * map.Scale) : null;
    private readonly RainCounter _count = new();
    private readonly Queue<DateTimeOffset> _falls = [];
    private DateTimeOffset _time = DateTimeOffset.MinValue;

    public void Seed(double total, DateTimeOffset time)
    {
        _count.Seed(total, time);
        _time = time;
    }

    /// <summary>Answers the amount since the total before, or <c>null</c> with a reason.</summary>
    /// <param name="total">The total now, mm.</param>
    /// <param name="time">Its time.</param>
    /// <param name="hasOwnTime">The time is the sensor's own and orders messages.</param>
    /// <param name="redelivered">The broker says that it has sent this message before.</param>
    /// <param name="remark">Why there is no amount, or what is odd about it.</param>
    /// <param name="moved">The total counts from now on and must be stored.</param>
    public double? Advance(double total, DateTimeOffset time, bool hasOwnTime, bool redelivered, out PayloadRemark? remark, out bool moved)
    {
        moved = false;
        total = Unrolled(total);
        if (hasOwnTime && time <= _time && _count.Counted is not null)
        {
            remark = new(RemarkKind.Note, _series, $"rain total is not newer than the last one");
            return null;
        }

        // A copy sent again after a lost connection would look like a reset.
        if (redelivered && total < _count.Counted)
        {
            remark = new(RemarkKind.Note, _series, $"rain total was sent before");
            return null;
        }

        var (before, at) = (_count.Counted, _count.At);
        var amount = _count.Advance(total, time, out var note);
        _time = time;
        moved = _count.Counted != before || _count.At != at;
        remark = note switch
        {
            RainTotalNote.First => new(RemarkKind.Note, _series, $"first rain total: amounts are counted from here"),
            RainTotalNote.Fell => Fell(time),
            RainTotalNote.Reset => new(RemarkKind.Note, _series, $"rain total stayed low: the gauge was reset"),
            RainTotalNote.TooFar => new(
                RemarkKind.Refused,
                _series,
                $"rain total rose to {_unit.FromReckoned(total):0.##} {new Name(_unit.Symbol)}, further than rain falls; "
                    + $"amounts are counted from there"),
            RainTotalNote.BelowZero => new(RemarkKind.Refused, _series, $"a rain total below 0 is none"),
            RainTotalNote.None or RainTotalNote.Leapt => null,
        };
        return amount;
    }

    /// <summary>
    /// The total without its roll-overs: what is counted so far tells how many turns it has made. A total that falls is taken for a
    /// roll-over only where the rain between the two is no more than falls; otherwise it is judged as a reset.
    /// </summary>
    private double Unrolled(double total)
    {
        if (_turnMm is not { } turn || _count.Counted is not { } counted || total < 0 || total >= turn)
            return total;
        var here = total + (Math.Floor(counted / turn) * turn);
        var most = Math.Min(MostPastTheTopMm, turn * MostOfTurn);
        return here < counted && here + turn - counted <= most ? here + turn
            // A copy of what was sent before the roll-over.
            : here - counted > turn - most && here >= turn ? here - turn
            : here;
    }

    /// <summary>The total that the next amount is counted from, with its time.</summary>
    public (double Total, DateTimeOffset Time) Counted => (_count.Counted ?? 0, _count.At);

    private PayloadRemark? Fell(DateTimeOffset time)
    {
        _falls.Enqueue(time);
        while (time - _falls.Peek() > TimeSpan.FromDays(1)) _falls.Dequeue();
        return _falls.Count < FallsOfAmounts
            ? new(RemarkKind.Note, _series, $"rain total fell: it counts as a reset when it stays low for 10 minutes")
            : new(
                RemarkKind.Refused,
                _series,
                $"rain total falls again and again: does the sensor send amounts? Then take counts: "
                    + $"total from its series, or rain is not counted");
    }
}
