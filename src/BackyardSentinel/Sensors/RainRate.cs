namespace BackyardSentinel.Sensors;

/// <summary>
/// Turns the rain rate of one gauge into amounts: a rate holds until the next message, at most for half an hour (assumed), so a
/// sensor that falls silent in a downpour does not rain on.
/// </summary>
/// <param name="series">Its name in the store.</param>
internal sealed class RainRate(string series)
{
    /// <summary>More than this, mm/h, is a fault of the gauge: 50 mm in ten minutes is the same limit (assumed).</summary>
    private const double HighestMmPerHour = 300;

    private static readonly TimeSpan LongestHold = TimeSpan.FromMinutes(30);

    private double _rate;
    private DateTimeOffset? _at;

    /// <summary>Answers what fell since the message before, mm; <c>null</c> with a reason where that is not known.</summary>
    /// <param name="rate">The rate now, mm/h.</param>
    /// <param name="time">Its time.</param>
    /// <param name="remark">Why there is no amount, or what is odd about it.</param>
    public double? Advance(double rate, DateTimeOffset time, out PayloadRemark? remark)
    {
        remark = null;
        if (rate is < 0 or > HighestMmPerHour)
        {
            remark = new(RemarkKind.Refused, series, $"a rain rate of {rate:0.##} mm/h cannot be: 0 to {HighestMmPerHour} are taken");
            return null;
        }

        var (before, since) = (_rate, _at);
        if (time <= since)
        {
            remark = new(RemarkKind.Note, series, $"rain rate is not newer than the last one");
            return null;
        }

        (_rate, _at) = (rate, time);
        if (since is not { } from)
        {
            remark = new(RemarkKind.Note, series, $"first rain rate: amounts are counted from here");
            return null;
        }

        var held = time - from;
        if (held > LongestHold)
        {
            if (before > 0)
                remark = new(
                    RemarkKind.Note,
                    series,
                    $"nothing was heard of the rain rate for more than half an hour: it counts for half an hour");
            held = LongestHold;
        }

        return before * held.TotalHours;
    }
}
