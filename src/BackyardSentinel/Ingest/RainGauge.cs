namespace BackyardSentinel.Ingest;

/// <summary>
/// Turns the running total of one rain gauge into amounts. Never negative; after a reset at most one tip is counted,
/// because how much fell before the first message of the new count is not known.
/// </summary>
internal sealed class RainGauge(string series)
{
    /// <summary>The largest usual tip, mm; a total this small right after a reset is counted as rain.</summary>
    private const double OneTipMm = 0.3;

    /// <summary>A drop this small is rounding on the sensor's side, mm.</summary>
    private const double RoundingMm = 0.05;

    /// <summary>More than this in ten minutes, mm, is a fault of the gauge (ASSUMED; beyond recorded extremes of gardens).</summary>
    private const double CapMmPerTenMinutes = 50;

    /// <summary>More than this between two messages, however far apart, mm, is a fault or a new gauge (ASSUMED).</summary>
    private const double CapMm = 300;

    private double? _total;
    private DateTimeOffset _time;

    public void Seed(double total, DateTimeOffset time) => (_total, _time) = (total, time);

    /// <summary>Answers the amount since the total before, or <c>null</c> with a reason.</summary>
    /// <param name="total">The total now, mm.</param>
    /// <param name="time">Its time.</param>
    /// <param name="hasOwnTime">The time is the sensor's own and orders messages.</param>
    /// <param name="redelivered">The broker says that it has sent this message before.</param>
    /// <param name="remark">Why there is no amount, or what is odd about it.</param>
    /// <param name="moved">The total counts from now on and must be stored.</param>
    public double? Advance(double total, DateTimeOffset time, bool hasOwnTime, bool redelivered, out PayloadRemark? remark, out bool moved)
    {
        remark = null;
        moved = false;
        if (_total is not { } before)
        {
            (_total, _time, moved) = (total, time, true);
            remark = new(RemarkKind.Note, series, "first rain total: amounts are counted from here");
            return null;
        }

        if (hasOwnTime && time <= _time)
        {
            remark = new(RemarkKind.Note, series, "rain total is not newer than the last one");
            return null;
        }

        var amount = total - before;
        // A copy sent again after a lost connection would look like a reset and be counted twice.
        if (redelivered && amount < 0)
        {
            remark = new(RemarkKind.Note, series, "rain total was sent before");
            return null;
        }

        var elapsed = time - _time;
        moved = true;
        if (amount < 0 && amount >= -RoundingMm)
        {
            _time = time;
            return 0;
        }

        (_total, _time) = (total, time);
        if (amount < 0)
        {
            remark = new(RemarkKind.Note, series, "rain total fell: the gauge was reset");
            return total is >= 0 and <= OneTipMm ? total : 0;
        }

        var cap = Math.Min(CapMm, CapMmPerTenMinutes * Math.Max(1, elapsed.TotalMinutes / 10));
        if (amount <= cap) return amount;
        remark = new(RemarkKind.Refused, series, FormattableString.Invariant($"rain total rose by {amount:0.#} mm in {elapsed.TotalMinutes:0} min, which is not believable"));
        return null;
    }

    /// <summary>The total that the next amount is counted from.</summary>
    public double Total => _total ?? 0;
}
