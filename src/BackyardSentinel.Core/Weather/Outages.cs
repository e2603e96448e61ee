namespace BackyardSentinel.Weather;

/// <summary>
/// When listening stopped for longer than <see cref="Grace"/>: the program was off or its broker out of reach. What a
/// sensor said before an outage stands for the weather for <see cref="Grace"/> into it and no longer: how the weather
/// went on is not known, and what was said meanwhile may be lost.
/// </summary>
/// <remarks>
/// The beginning alone counts, so that an outage is judged the same while it lasts and long after it. What was said at that very
/// moment was said before it: mostly it is the last that was heard.
/// </remarks>
public sealed class Outages
{
    /// <summary>
    /// No value is stretched further into an outage than this, and a shorter one is none (assumed: a usual distance of readings and
    /// half as much again).
    /// </summary>
    public static TimeSpan Grace => new(15 * TimeSpan.TicksPerMinute);

    private readonly List<long> _begins = [];

    /// <summary>No outages.</summary>
    public Outages()
    {
    }

    /// <summary>Known outages.</summary>
    /// <param name="begins">When each began, in any order.</param>
    public Outages(IEnumerable<DateTimeOffset> begins)
    {
        foreach (var at in begins)
            Add(at);
    }

    /// <summary>One began after a moment, to the millisecond, and had lasted for the grace, so that it was known.</summary>
    /// <param name="from">The moment.</param>
    /// <param name="by">It was known by then.</param>
    public bool AnyKnown(DateTimeOffset from, DateTimeOffset by)
    {
        var next = _begins.BinarySearch(from.UtcTicks - (from.UtcTicks % TimeSpan.TicksPerMillisecond));
        next = next < 0 ? ~next : next;
        return next < _begins.Count && _begins[next] < by.UtcTicks - Grace.Ticks;
    }

    internal int Count => _begins.Count;

    internal long this[int index] => _begins[index];

    /// <summary>An outage is known. One that is known already counts once.</summary>
    /// <param name="since">When it began.</param>
    public void Add(DateTimeOffset since)
    {
        var at = _begins.BinarySearch(since.UtcTicks);
        if (at < 0)
            _begins.Insert(~at, since.UtcTicks);
    }
}
