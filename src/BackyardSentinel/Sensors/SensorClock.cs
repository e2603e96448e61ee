using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>The sensor's own time of a value, if the message has one.</summary>
/// <param name="Time">The time, UTC; <c>null</c>: none that can be taken.</param>
/// <param name="Fault">Why it could not be taken; <c>null</c>: it was, or none is looked for.</param>
internal readonly record struct OwnTime(DateTimeOffset? Time, Sentence? Fault)
{
    /// <summary>The message counts when it comes.</summary>
    public static OwnTime None => default;
}

/// <summary>
/// Says at which time the values of one series count: at the sensor's own, where that can be right, or when they come.
/// </summary>
/// <param name="map">The series.</param>
/// <param name="timesAreTheClock">The readings' own times are the clock, so none is too far ahead.</param>
internal sealed class SensorClock(SeriesMap map, bool timesAreTheClock)
{
    private static readonly TimeSpan Ahead = TimeSpan.FromMinutes(10);
    private static readonly TimeSpan LongestHole = TimeSpan.FromDays(730);

    /// <summary>No queue holds messages so long: a clock that far behind was never set (assumed).</summary>
    private static readonly TimeSpan NeverSet = TimeSpan.FromDays(366);

    /// <summary>A retained message older than this would be too late to count.</summary>
    private static readonly TimeSpan Stale = TimeSpan.FromDays(1);

    private static readonly DateTimeOffset Earliest = new(2000, 1, 1, 0, 0, 0, TimeSpan.Zero);

    private long _lastArrivalMs = long.MinValue;

    /// <summary>The time a value counts at; <c>null</c>, with a reason said, where its age is not known.</summary>
    /// <param name="own">The sensor's own time.</param>
    /// <param name="arrival">When the message came.</param>
    /// <param name="result">Where the reason goes.</param>
    /// <param name="isOwn">It is the sensor's own time, which orders messages.</param>
    public DateTimeOffset? Of(in OwnTime own, in Arrival arrival, PayloadResult result, out bool isOwn)
    {
        isOwn = false;
        var fault = FaultOf(own, arrival.At);
        if (fault is not null && !arrival.Retained)
            result.Say(RemarkKind.Note, map.Name, $"{fault}; the time of arrival is taken");
        if (own.Time is { } time && fault is null)
        {
            isOwn = true;
            if (!arrival.Retained || timesAreTheClock || arrival.At - time <= Stale)
                return time;
            result.Say(RemarkKind.NoReading, map.Name, $"retained, and older than a day");
            return null;
        }

        if (arrival.Retained)
        {
            result.Say(RemarkKind.NoReading, map.Name, $"retained, age unknown");
            return null;
        }

        if (timesAreTheClock && arrival.At < Earliest)
        {
            result.Say(RemarkKind.Refused, map.Name, $"it has no time that can be right, and no reading before it has begun the log");
            return null;
        }

        return ArrivalTime(arrival.At);
    }

    /// <summary>The clock of a sensor whose times have no zone; <c>null</c>: they have one.</summary>
    public TimeReader.WallClock? Local(in Arrival arrival) => map.Zone is { } zone ? new TimeReader.WallClock(zone, arrival.At) : null;

    /// <summary>Why a time cannot be taken; <c>null</c>: it can, or there is none.</summary>
    /// <param name="own">The sensor's own time.</param>
    /// <param name="arrival">When the message came.</param>
    public Sentence? FaultOf(in OwnTime own, DateTimeOffset arrival)
    {
        if (own.Time is not { } time)
            return own.Fault;
        if (time < Earliest)
            return $"the sensor's time lies before 2000";
        if (timesAreTheClock)
            return IsBeyond(time, arrival) ? (Sentence)$"the sensor's time lies years ahead of the log's" : null;
        return time > arrival + Ahead ? $"the sensor's time lies more than 10 minutes ahead"
            : arrival - time > NeverSet ? (Sentence)$"the sensor's time lies more than a year back, so its clock is not set"
            : null;
    }

    /// <summary>Why a sensor's time was not taken, where a remark says that the time of arrival was.</summary>
    /// <param name="remark">The remark.</param>
    /// <returns><c>null</c>: it says something else.</returns>
    public static Sentence? TimeFault(Sentence remark) =>
        remark.Text.EndsWith("; the time of arrival is taken", StringComparison.Ordinal)
            ? remark.Fillings.OfType<Sentence>().FirstOrDefault()
            : null;

    /// <summary>Where the readings' times are the clock, one alone must not move it by years: no recorded log has such a hole.</summary>
    private static bool IsBeyond(DateTimeOffset time, DateTimeOffset clock) =>
        time.Year > 2100 || (clock >= Earliest && time - clock > LongestHole);

    /// <summary>Whole milliseconds, later than the series' last: two messages in one millisecond are two readings.</summary>
    private DateTimeOffset ArrivalTime(DateTimeOffset receivedAt)
    {
        // A clock that was set back must not hold the times of arrival where it stood.
        if (_lastArrivalMs > (receivedAt + Ahead).ToUnixTimeMilliseconds()) _lastArrivalMs = long.MinValue;
        var ms = Math.Max(receivedAt.ToUnixTimeMilliseconds(), _lastArrivalMs + 1);
        _lastArrivalMs = ms;
        return DateTimeOffset.FromUnixTimeMilliseconds(ms);
    }
}
