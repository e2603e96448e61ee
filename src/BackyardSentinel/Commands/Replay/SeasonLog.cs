using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Logs;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Replay;

/// <summary>
/// A log of single readings that know when they came: the store, raw messages, exported readings. It is judged in the order of
/// a season (<see cref="SeasonOrder"/>), as the service judges its store.
/// </summary>
internal sealed class SeasonLog : IDisposable
{
    private readonly SentinelStore? _store;

    private SeasonLog(IReadOnlyList<string> names, SentinelStore? store = null) => (Names, _store) = (names, store);

    /// <summary>The files.</summary>
    public IReadOnlyList<string> Names { get; }

    /// <summary>The readings of one site, in the order of their own times.</summary>
    public required IEnumerable<SensedReading> Readings { get; init; }

    /// <summary>What is measured.</summary>
    public required IReadOnlyCollection<Quantity> Quantities { get; init; }

    /// <summary>When listening stopped.</summary>
    public IReadOnlyList<DateTimeOffset> Outages { get; init; } = [];

    /// <summary>Rows read; <c>null</c>: as many as there are readings.</summary>
    public long? RowsRead { get; init; }

    /// <summary>Rows that were not taken.</summary>
    public IReadOnlyList<RejectedRow> Rejected { get; init; } = [];

    /// <summary>Where a reading stands: its file, and its line there or 0.</summary>
    public Func<SensedReading, (int File, long Line)> PlaceOf { get; init; } = _ => (0, 0);

    private IReadOnlyList<string> LeftOut { get; init; } = [];

    /// <summary>What is wrong with the log as a whole, once it has been read, a sentence each.</summary>
    public IEnumerable<string> Findings =>
    [
        .. LeftOut,
        .. _store is { DamagedReadings: > 0 and var damaged }
            ?
            [
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{Names[0]} is damaged: {damaged} readings are not as they were written and left out. "
                        + $"Start the service again: it saves what can be saved."),
            ]
            : Array.Empty<string>(),
    ];

    /// <summary>The store's readings of one site.</summary>
    /// <param name="path">The store.</param>
    /// <param name="site">The site.</param>
    /// <param name="garden">The garden whose series are judged; <c>null</c>: all that the store has, the first of a quantity
    /// preferred.</param>
    /// <param name="from">Readings before this are left out.</param>
    /// <param name="to">Readings at or after this are left out.</param>
    /// <exception cref="StoreException">The store cannot be read.</exception>
    public static SeasonLog OfStore(string path, string site, GardenFile? garden, DateTimeOffset from, DateTimeOffset to)
    {
        var store = SentinelStore.Reading(path);
        var series = SeriesMaps.InStore(
            store,
            garden?.SeriesOf(site) ?? SeriesNames.Of(store.SeriesNames.Values).Where(map => map.SiteId == site));
        return new SeasonLog([path], store)
        {
            Readings = SeriesMaps
                .Season(store, series, from == DateTimeOffset.MinValue ? null : from)
                .TakeWhile(sensed => sensed.Reading.Time < to),
            Quantities = [.. series.Values.Select(map => map.Quantity)],
            Outages = [.. store.Outages().Where(since => since >= from && since < to)],
            LeftOut = StoredSeason.HourlyOnly(
                store, from, garden?.Sites.FirstOrDefault(one => one.Id == site)?.Zone ?? TimeZoneInfo.Utc) is { } hourly
                ? [hourly]
                : [],
        };
    }

    /// <summary>Readings of one site that a server gave back.</summary>
    /// <param name="name">What the server is called.</param>
    /// <param name="readings">The readings in the order of their own times.</param>
    /// <param name="outages">When listening stopped.</param>
    /// <param name="unknown">Series that the garden does not name, with the number of their readings.</param>
    public static SeasonLog OfServer(
        string name,
        IReadOnlyList<SensedReading> readings,
        IReadOnlyList<DateTimeOffset> outages,
        IReadOnlyDictionary<string, long> unknown) =>
        new([name])
        {
            Readings = readings,
            Quantities = [.. readings.Select(one => one.Reading.Quantity).Distinct()],
            Outages = outages,
            LeftOut =
            [
                .. unknown
                    .OrderBy(pair => pair.Key, StringComparer.Ordinal)
                    .Select(pair => FormattableString.Invariant(
                        $"{pair.Value} readings of the series {pair.Key} are left out: the garden file does not name it any more.")),
            ],
        };

    /// <summary>Readings that <c>export readings</c> wrote.</summary>
    /// <param name="paths">The files.</param>
    /// <param name="site">The site; <c>null</c>: the only one.</param>
    /// <param name="from">Readings before this are left out.</param>
    /// <param name="to">Readings at or after this are left out.</param>
    /// <exception cref="LogProblemException">A file cannot be read.</exception>
    public static SeasonLog OfReadings(IReadOnlyList<string> paths, string? site, DateTimeOffset from, DateTimeOffset to)
    {
        List<LoggedReading> readings = [];
        List<DateTimeOffset> stops = [];
        List<RejectedRow> rejected = [];
        long rows = 0;
        for (var i = 0; i < paths.Count; i++)
            rows += ReadingsFile.Read(paths[i], i, site, readings, stops, rejected.Add);
        return OfList(paths, readings, stops, rejected, rows, from, to);
    }

    /// <summary>Readings that were put together in memory; of two of one series and time the first counts.</summary>
    public static SeasonLog OfList(
        IReadOnlyList<string> paths,
        List<LoggedReading> readings,
        List<DateTimeOffset> stops,
        List<RejectedRow> rejected,
        long rows,
        DateTimeOffset from,
        DateTimeOffset to)
    {
        var ordered = readings
            .Where(one => one.Sensed.Reading.Time >= from && one.Sensed.Reading.Time < to)
            .DistinctBy(one => (one.Sensed.Reading.Time, one.Sensed.Series))
            .OrderBy(one => one.Sensed.Reading.Time)
            .ThenBy(one => one.Sensed.Reading.Quantity)
            .ThenBy(one => one.Sensed.Reading.Rank)
            .ToList();
        return new SeasonLog(paths)
        {
            Readings = ordered.Select(one => one.Sensed),
            Quantities = [.. ordered.Select(one => one.Sensed.Reading.Quantity).Distinct()],
            Outages = [.. stops.Where(since => since >= from && since < to).Distinct().Order()],
            Rejected = rejected,
            RowsRead = rows,
            PlaceOf = sensed => PlaceIn(ordered, sensed),
        };
    }

    /// <inheritdoc/>
    public void Dispose() => _store?.Dispose();

    private static IComparer<LoggedReading> ByTime { get; } =
        Comparer<LoggedReading>.Create((one, other) => one.Sensed.Reading.Time.CompareTo(other.Sensed.Reading.Time));

    private static (int File, long Line) PlaceIn(List<LoggedReading> ordered, SensedReading sensed)
    {
        var at = ordered.BinarySearch(new LoggedReading(sensed, 0, 0), ByTime);
        while (at > 0 && ordered[at - 1].Sensed.Reading.Time == sensed.Reading.Time)
            at--;
        while (ordered[at].Sensed != sensed)
            at++;
        return (ordered[at].File, ordered[at].Line);
    }
}
