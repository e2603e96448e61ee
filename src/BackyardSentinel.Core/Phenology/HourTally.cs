using BackyardSentinel.Weather;

namespace BackyardSentinel.Phenology;

/// <summary>Counts how well the hours are known since a day from which they matter.</summary>
internal sealed class HourTally
{
    private DateTimeOffset? from;
    private HourCounts counts;

    /// <summary>The local day counted from; <c>null</c>: there is none yet.</summary>
    public DateOnly? FromDay { get; private set; }

    /// <summary>End of the last hour, UTC.</summary>
    public DateTimeOffset? LastEnd { get; private set; }

    /// <summary>Counts anew from the beginning of a local day, or not at all.</summary>
    public void StartAt(DateOnly? day, TimeZoneInfo zone) =>
        (FromDay, from, counts) = (day, day is { } d ? LocalDay.StartOf(d, zone) : null, default);

    /// <summary>Takes the next hour; a hole before it is missing.</summary>
    public void Add(in HourTemperature hour)
    {
        if (hour.Start >= from)
            counts = At(hour.Start).With(hour.Source);
        LastEnd = hour.End;
    }

    /// <summary>The counts at a moment; hours that have not come by then are missing.</summary>
    public HourCounts At(DateTimeOffset now)
    {
        var known = LastEnd > from ? LastEnd : from;
        return now > known ? counts with { Missing = counts.Missing + (int)((now - known.Value).Ticks / TimeSpan.TicksPerHour) } : counts;
    }
}
