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

    /// <summary>The readings in the order of their own times.</summary>
    public required IEnumerable<StoredReading> Rows { get; init; }

    /// <summary>What each series' number stands for; those of other numbers are not judged.</summary>
    public required IReadOnlyDictionary<int, SeriesMap> Series { get; init; }

    /// <summary>When listening stopped.</summary>
    public IReadOnlyList<DateTimeOffset> Outages { get; init; } = [];

    /// <summary>Rows read; <c>null</c>: as many as there are readings.</summary>
    public long? RowsRead { get; init; }

    /// <summary>Rows that were not taken.</summary>
    public IReadOnlyList<RejectedRow> Rejected { get; init; } = [];

    /// <summary>Where a reading stands: its file, and its line there or 0.</summary>
    public Func<StoredReading, (int File, long Line)> PlaceOf { get; init; } = _ => (0, 0);

    /// <summary>What is wrong with the log as a whole, once it has been read, a sentence each.</summary>
    public IEnumerable<string> Findings => _store is { DamagedReadings: > 0 and var damaged }
        ? [FormattableString.Invariant($"{Names[0]} is damaged: {damaged} readings are not as they were written and left out. Start the service again: it saves what can be saved.")]
        : [];

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
        return new SeasonLog([path], store)
        {
            Rows = store.ReadSeason(from == DateTimeOffset.MinValue ? null : from).TakeWhile(row => row.TimeMs < to.ToUnixTimeMilliseconds()),
            Series = SeriesMaps.InStore(store, garden?.SeriesOf(site) ?? SeriesNames.Of(store.SeriesNames.Values).Where(map => map.SiteId == site)),
            Outages = [.. store.Outages().Where(since => since >= from && since < to)],
        };
    }

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
        var series = readings.Select(reading => reading.Row.Series).Distinct().ToDictionary(number => number, number =>
        {
            var (quantity, place) = ReadingsFile.PlaceOf(number);
            return new SeriesMap { SiteId = site ?? "", Quantity = quantity, Topic = FormattableString.Invariant($"{quantity.Word()} {place + 1}"), Rank = place };
        });
        return OfList(paths, readings, series, stops, rejected, rows, from, to);
    }

    /// <summary>Readings that were put together in memory; of two of one series and time the first counts.</summary>
    public static SeasonLog OfList(
        IReadOnlyList<string> paths,
        List<LoggedReading> readings,
        IReadOnlyDictionary<int, SeriesMap> series,
        List<DateTimeOffset> stops,
        List<RejectedRow> rejected,
        long rows,
        DateTimeOffset from,
        DateTimeOffset to)
    {
        var ordered = readings
            .Where(reading => IsIn(reading.Row.TimeMs, from, to))
            .DistinctBy(reading => (reading.Row.TimeMs, reading.Row.Series))
            .OrderBy(reading => reading.Row.TimeMs)
            .ThenBy(reading => reading.Row.Series)
            .ToArray();
        return new SeasonLog(paths)
        {
            Rows = ordered.Select(reading => reading.Row),
            Series = series,
            Outages = [.. stops.Where(since => since >= from && since < to).Distinct().Order()],
            Rejected = rejected,
            RowsRead = rows,
            PlaceOf = row =>
            {
                var found = ordered[Array.BinarySearch(ordered, new LoggedReading(row, 0, 0), ByTimeAndSeries)];
                return (found.File, found.Line);
            },
        };
    }

    /// <inheritdoc/>
    public void Dispose() => _store?.Dispose();

    private static IComparer<LoggedReading> ByTimeAndSeries { get; } = Comparer<LoggedReading>.Create((one, other) =>
        (one.Row.TimeMs, one.Row.Series).CompareTo((other.Row.TimeMs, other.Row.Series)));

    private static bool IsIn(long timeMs, DateTimeOffset from, DateTimeOffset to) =>
        timeMs >= from.ToUnixTimeMilliseconds() && timeMs < to.ToUnixTimeMilliseconds();
}
