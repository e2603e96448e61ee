using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Web.Sensors;

/// <summary>What the store has of the last days, read by a connection of its own that only reads.</summary>
internal sealed class SensorsLook
{
    private readonly Dictionary<string, List<StoredReading>> _readings = new(StringComparer.Ordinal);
    private readonly IReadOnlyList<SeriesMap> _series;

    private SensorsLook(SentinelStore store, IReadOnlyList<SeriesMap> series, string site, DateTimeOffset now)
    {
        _series = series;
        var shown = series.Where(one => one.SiteId == site).ToDictionary(one => one.Name, StringComparer.Ordinal);
        Dictionary<int, (Quantity Quantity, List<StoredReading> Readings)> known = [];
        foreach (var (id, name) in store.SeriesNames)
        {
            if (shown.TryGetValue(name, out var one))
                known.Add(id, (one.Quantity, _readings[name] = []));
        }

        foreach (var reading in store.ReadSeason(now - LooksBack, known.Keys))
        {
            // What cannot be lies in the store too; it was not judged by, and stands among what was refused.
            if (known.TryGetValue(reading.Series, out var one)
                && reading.TimeMs <= now.ToUnixTimeMilliseconds()
                && QualityControl.Judge(one.Quantity, reading.Value, out var value) is QualityVerdict.Good or QualityVerdict.Clamped)
                one.Readings.Add(reading with { Value = value });
        }

        foreach (var one in shown.Values)
            _readings[one.Name] = Sound(one.Quantity, Of(one));

        First = store.FirstTime();
        Refused = [.. store.Quarantine().OrderByDescending(row => row.ReceivedUs)];
    }

    /// <summary>How far back is looked.</summary>
    public static TimeSpan LooksBack { get; } = TimeSpan.FromDays(7);

    /// <summary>What was kept aside, the newest first.</summary>
    public IReadOnlyList<QuarantinedMessage> Refused { get; }

    /// <summary>Reads it.</summary>
    /// <param name="path">The store's file.</param>
    /// <param name="series">The garden's series.</param>
    /// <param name="site">The site that is looked at.</param>
    /// <param name="now">Now, UTC.</param>
    /// <exception cref="StoreException">The store cannot be read.</exception>
    public static SensorsLook At(string path, IReadOnlyList<SeriesMap> series, string site, DateTimeOffset now)
    {
        using var store = SentinelStore.Reading(path);
        return new SensorsLook(store, series, site, now);
    }

    /// <summary>The time of the first reading that the store has, of whatever day; <c>null</c>: there is none.</summary>
    public DateTimeOffset? First { get; }

    /// <summary>The readings of a series, in the order of their times.</summary>
    /// <param name="series">The series.</param>
    public IReadOnlyList<StoredReading> Of(SeriesMap series) => _readings.TryGetValue(series.Name, out var list) ? list : [];

    /// <summary>The readings of a series from a time on, in the order of their times.</summary>
    /// <param name="series">The series.</param>
    /// <param name="from">From when, UTC.</param>
    public IReadOnlyList<StoredReading> Of(SeriesMap series, DateTimeOffset from)
    {
        var (all, fromMs) = (Of(series), from.ToUnixTimeMilliseconds());
        var (low, high) = (0, all.Count);
        while (low < high)
        {
            var middle = (low + high) / 2;
            (low, high) = all[middle].TimeMs < fromMs ? (middle + 1, high) : (low, middle);
        }

        return [.. all.Skip(low)];
    }

    /// <summary>Without values that lay further from the one before than weather goes: they were refused, and lie in the store.</summary>
    private static List<StoredReading> Sound(Quantity quantity, IReadOnlyList<StoredReading> readings) =>
        [.. Leaps.Without(quantity, readings, one => (one.TimeMs * TimeSpan.TicksPerMillisecond, one.Value))];

    /// <summary>No other series of the garden has its topic, so that what was refused there is its own.</summary>
    /// <param name="series">The series.</param>
    public bool IsAlone(SeriesMap series) => _series.Count(one => one.Topic == series.Topic) == 1;
}
