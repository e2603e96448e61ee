using BackyardSentinel.Configuration;
using BackyardSentinel.Events;
using BackyardSentinel.Infection;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>What has come since a mark, and the mark to keep when it is safe.</summary>
/// <param name="News">The news; read them once, one after the other.</param>
/// <param name="Reached">The mark behind them.</param>
/// <param name="IsAll">The store holds no more at the moment.</param>
public sealed record SeasonStretch(IEnumerable<SeasonNews> News, ForwardMark Reached, bool IsAll);

/// <summary>
/// Follows the season in the store behind the service, with watches of its own: what was taken, and what was judged from it.
/// A reading that came late, a line in the journal or an outage changes what was judged before; then the season is fed again
/// to new watches, and all that may be different is news once more; a window that is none any more is taken back.
/// </summary>
public sealed class SeasonFollower
{
    /// <summary>So much is fed at once, by the time of arrival, so that days that were missed do not fill the memory.</summary>
    private static readonly TimeSpan LongestStretch = TimeSpan.FromDays(1);

    /// <summary>Readings may lie in a batch that is not committed yet: silence is not judged sooner than after this.</summary>
    private static readonly TimeSpan Uncommitted = TimeSpan.FromMinutes(10);

    private readonly GardenFile _garden;
    private readonly ForwardBook _book;
    private readonly DateTimeOffset _began;
    private readonly Dictionary<string, SeriesMap> _series;
    private readonly List<WindowNews> _windows = [];
    private readonly Dictionary<(string Site, string Planting, string Rule, DateTimeOffset OpenedAt), WindowNews> _told = [];
    private Dictionary<string, SiteWatch>? _watches;
    private ForwardMark? _fedTo;
    private List<DateTimeOffset> _outages = [];

    /// <summary>Makes a follower; it reads nothing yet.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="book">Its store.</param>
    /// <param name="began">Since when it is followed: that season and the one before are the first; <c>null</c>: since now.</param>
    public SeasonFollower(GardenFile garden, ForwardBook book, DateTimeOffset? began = null)
    {
        ArgumentNullException.ThrowIfNull(garden);
        (_garden, _book, _began) = (garden, book, began ?? DateTimeOffset.MaxValue);
        _series = garden.Series.ToDictionary(map => map.Name, StringComparer.Ordinal);
    }

    /// <summary>Looks what has come.</summary>
    /// <param name="since">The mark of the last stretch that is safe.</param>
    /// <param name="now">Now.</param>
    /// <exception cref="StoreException">The store cannot be read.</exception>
    public SeasonStretch Look(ForwardMark since, DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(since);
        // The clock was ahead and was set back: what was sent under its times is not known any more, so all is sent again.
        if (since.ReceivedUs > StoredTime.ToMicroseconds(now + SiteWatch.LargestLead))
            since = since with { ReceivedUs = 0 };
        var newest = Math.Max(_book.NewestUs(EarliestMs(since.ReceivedUs)), since.ReceivedUs);
        var stretchEnd = since.ReceivedUs + (LongestStretch.Ticks / TimeSpan.TicksPerMicrosecond);
        var untilUs = since.ReceivedUs > 0 ? Math.Min(newest, stretchEnd) : newest;
        var reached = since with { ReceivedUs = untilUs, Journal = _book.JournalNumber() };
        var isAll = untilUs == newest;
        var clock = StoredTime.ToMoment(untilUs);
        if (isAll && untilUs > 0 && now - Uncommitted > clock)
            clock = now - Uncommitted;
        var outages = _book.Outages();
        // After a start: as it stood at the mark, so that what came since shows.
        if (_watches is null || _fedTo != since)
            Recall(since, now);
        var news = MayGoOn(since, reached, outages) ? GoOn(since, reached, clock) : BeginAgain(since, reached, outages, clock, now);
        return new SeasonStretch(news, reached, isAll);
    }

    /// <summary>How many readings of the season have come since a mark.</summary>
    /// <param name="since">The mark of the last stretch that is safe.</param>
    /// <param name="now">Now.</param>
    public long CountSince(ForwardMark since, DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(since);
        return _book.CountAfter(Math.Max(SeasonMs(since, now), EarliestMs(since.ReceivedUs)), since.ReceivedUs);
    }

    /// <summary>Where reading begins: what has waited since an earlier season is of that season.</summary>
    private long SeasonMs(ForwardMark since, DateTimeOffset now)
    {
        var waited = since.ReceivedUs > 0 ? StoredTime.ToMoment(since.ReceivedUs) : _began;
        return JudgedSeasons.StartFor(_garden, waited < now ? waited : now).ToUnixTimeMilliseconds();
    }

    private static long EarliestMs(long receivedUs) => Math.Max(0, (receivedUs / 1000) - (long)SiteWatch.LargestAge.TotalMilliseconds);

    /// <summary>Nothing that came speaks of what was judged before.</summary>
    private bool MayGoOn(ForwardMark since, ForwardMark reached, List<DateTimeOffset> outages)
    {
        if (_watches is null || _fedTo != since || reached.Journal != since.Journal || !outages.SequenceEqual(_outages))
            return false;
        return !Rows(since, reached).Any(sensed =>
            SiteWatch.Counts(sensed.Reading.Time, sensed.ReceivedAt) && _watches[sensed.Site].HasJudged(sensed.Reading));
    }

    private void Recall(ForwardMark since, DateTimeOffset now)
    {
        var clock = StoredTime.ToMoment(since.ReceivedUs);
        _outages = [.. _book.Outages().Where(outage => outage <= clock)];
        _told.Clear();
        var watches = NewWatches(_outages, since.Journal);
        foreach (var _ in Feed(watches, Season(since, since, now), since.ReceivedUs, long.MaxValue, clock))
        {
            // Nothing of it is news.
        }

        (_watches, _fedTo) = (watches, since);
    }

    private Dictionary<string, SiteWatch> NewWatches(List<DateTimeOffset> outages, long lastJournalNumber)
    {
        using var book = JournalBook.Reading(_garden.Store.Path);
        var journal = StoredSeason.Sound(
            _garden.Sites,
            JournalRow.Standing([.. book.Rows().Where(row => row.Number <= lastJournalNumber)]),
            []);
        return _garden.Sites.ToDictionary(site => site.Id, site => new SiteWatch(site, Note, journal, outages), StringComparer.Ordinal);
    }

    private IEnumerable<SensedReading> Season(ForwardMark since, ForwardMark until, DateTimeOffset now) =>
        Sensed(_book.Readings(SeasonMs(since, now), long.MaxValue, 0, until.ReceivedUs));

    private IEnumerable<SeasonNews> GoOn(ForwardMark since, ForwardMark reached, DateTimeOffset clock)
    {
        var watches = _watches!;
        _watches = null; // Whoever stops in the middle begins again.
        foreach (var news in Feed(watches, Rows(since, reached), since.ReceivedUs, 0, clock))
            yield return news;
        (_watches, _fedTo) = (watches, reached);
    }

    private IEnumerable<SeasonNews> BeginAgain(
        ForwardMark since,
        ForwardMark reached,
        List<DateTimeOffset> outages,
        DateTimeOffset clock,
        DateTimeOffset now)
    {
        _watches = null;
        Dictionary<(string, string, string, DateTimeOffset), WindowNews> before = new(_told);
        _told.Clear();
        var changedUs = reached.Journal != since.Journal || since.ReceivedUs == 0 ? 0 : since.ReceivedUs;
        if (outages.Except(_outages).ToList() is [var outage, ..])
            changedUs = Math.Min(changedUs, StoredTime.ToMicroseconds(outage));
        var watches = NewWatches(outages, reached.Journal);
        foreach (var news in Feed(watches, Season(since, reached, now), since.ReceivedUs, changedUs, clock))
            yield return news;
        foreach (var (_, window) in before.Where(pair => !_told.ContainsKey(pair.Key)))
            yield return window with { IsTakenBack = true };
        (_watches, _fedTo, _outages) = (watches, reached, outages);
    }

    private IEnumerable<SensedReading> Rows(ForwardMark since, ForwardMark reached) =>
        Sensed(_book.Readings(EarliestMs(since.ReceivedUs), long.MaxValue, since.ReceivedUs, reached.ReceivedUs));

    private IEnumerable<SensedReading> Sensed(IEnumerable<StoredReading> rows)
    {
        var names = _book.SeriesNames();
        foreach (var row in rows)
        {
            if (names.TryGetValue(row.Series, out var name) && _series.TryGetValue(name, out var map))
                yield return SeriesMaps.Sensed(map, row);
        }
    }

    /// <summary>Feeds rows to watches.</summary>
    /// <param name="watches">The watches by site.</param>
    /// <param name="rows">The rows in the order of their own times.</param>
    /// <param name="sinceUs">Readings that came after this are news.</param>
    /// <param name="changedUs">What is judged after this may be different; and all from the first reading on that is news.</param>
    /// <param name="clock">Time has passed up to here.</param>
    private IEnumerable<SeasonNews> Feed(
        Dictionary<string, SiteWatch> watches,
        IEnumerable<SensedReading> rows,
        long sinceUs,
        long changedUs,
        DateTimeOffset clock)
    {
        var (since, changed) = (StoredTime.ToMoment(sinceUs), StoredTime.ToMoment(changedUs));
        var isNews = changedUs == 0;
        foreach (var step in SeasonOrder.Of(rows, DateTimeOffset.MaxValue, withHeard: false))
        {
            var (sensed, at) = (step.Sensed, step.At);
            isNews |= at > changed || sensed.ReceivedAt > since;
            var watch = watches[sensed.Site];
            foreach (var news in Pass(watch, at))
            {
                if (isNews)
                    yield return news;
            }

            if (watch.Accept(sensed.Reading, at) <= QualityVerdict.Clamped && sensed.ReceivedAt > since)
                yield return new ReadingNews(sensed);
        }

        isNews |= changedUs < long.MaxValue;
        foreach (var watch in watches.Values)
        {
            foreach (var news in Pass(watch, clock))
            {
                if (isNews)
                    yield return news;
            }
        }
    }

    /// <summary>Lets time pass on one watch, an interval at a time.</summary>
    private IEnumerable<SeasonNews> Pass(SiteWatch watch, DateTimeOffset at)
    {
        while (watch.NextDue is var due && due <= at)
        {
            _windows.Clear();
            watch.AdvanceTo(due);
            yield return new IntervalNews(watch);
            foreach (var window in _windows)
                yield return window;
        }
    }

    private void Note(SentinelEvent fact)
    {
        var window = fact is InfectionWindowOpened opened ? opened.Window
            : fact is InfectionWindowClosed closed ? closed.Window
            : (InfectionWindow?)null;
        if (window is not { } one)
            return;
        var news = new WindowNews(fact.Site, one);
        _windows.Add(news);
        _told[(fact.Site, one.Planting, one.Rule, one.OpenedAt)] = news;
    }
}
