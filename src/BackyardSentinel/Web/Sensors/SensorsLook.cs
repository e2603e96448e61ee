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

    private SensorsLook(SentinelStore store, IReadOnlyList<SeriesMap> series, DateTimeOffset now)
    {
        _series = series;
        var names = store.SeriesNames;
        var quantities = series.GroupBy(one => one.Name).ToDictionary(
            same => same.Key, same => same.First().Quantity, StringComparer.Ordinal);
        foreach (var reading in store.ReadSeason(now - LooksBack))
        {
            // What cannot be lies in the store too; it was not judged by, and stands among what was refused.
            if (!names.TryGetValue(reading.Series, out var name)
                || !quantities.TryGetValue(name, out var quantity)
                || reading.TimeMs > now.ToUnixTimeMilliseconds()
                || QualityControl.Judge(quantity, reading.Value, out var value) is not (QualityVerdict.Good or QualityVerdict.Clamped))
                continue;
            if (!_readings.TryGetValue(name, out var list))
                _readings.Add(name, list = []);
            list.Add(reading with { Value = value });
        }

        foreach (var (name, list) in _readings)
            list.RemoveAll(Leapt(quantities[name], list).Contains);

        Refused = [.. store.Quarantine().OrderByDescending(row => row.ReceivedUs)];
    }

    /// <summary>How far back is looked.</summary>
    public static TimeSpan LooksBack { get; } = TimeSpan.FromDays(7);

    /// <summary>What was kept aside, the newest first.</summary>
    public IReadOnlyList<QuarantinedMessage> Refused { get; }

    /// <summary>Reads it.</summary>
    /// <param name="path">The store's file.</param>
    /// <param name="series">The garden's series.</param>
    /// <param name="now">Now, UTC.</param>
    /// <exception cref="StoreException">The store cannot be read.</exception>
    public static SensorsLook At(string path, IReadOnlyList<SeriesMap> series, DateTimeOffset now)
    {
        using var store = SentinelStore.Reading(path);
        return new SensorsLook(store, series, now);
    }

    /// <summary>The time of the first reading of any series in these days; <c>null</c>: there is none.</summary>
    public DateTimeOffset? First =>
        _readings.Values.Where(list => list.Count > 0)
            .Select(list => (DateTimeOffset?)DateTimeOffset.FromUnixTimeMilliseconds(list[0].TimeMs)).Min();

    /// <summary>The readings of a series, in the order of their times.</summary>
    /// <param name="series">The series.</param>
    public IReadOnlyList<StoredReading> Of(SeriesMap series) => _readings.TryGetValue(series.Name, out var list) ? list : [];

    /// <summary>
    /// The values that lay further from the one before than weather goes: they were refused, and lie in the store all the same.
    /// </summary>
    private static HashSet<StoredReading> Leapt(Quantity quantity, List<StoredReading> readings) =>
        [.. readings.Except(Leaps.Without(quantity, readings, one => (one.TimeMs * TimeSpan.TicksPerMillisecond, one.Value)))];

    /// <summary>No other series of the garden has its topic, so that what was refused there is its own.</summary>
    /// <param name="series">The series.</param>
    public bool IsAlone(SeriesMap series) => _series.Count(one => one.Topic == series.Topic) == 1;
}
