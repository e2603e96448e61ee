using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Forecasts;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>
/// The garden as the store knows it at a moment: fresh watches, fed the season up to then, as the service does after a
/// restart. For commands that look and change nothing; the service may run meanwhile.
/// </summary>
public sealed class StoredSeason
{
    /// <summary>A store that was damaged is told of for so long (assumed).</summary>
    private static readonly TimeSpan RecentDamage = TimeSpan.FromDays(30);

    private StoredSeason(
        IReadOnlyDictionary<string, SiteWatch> watches,
        IReadOnlyList<JournalEntry> journal,
        Forecast? forecast,
        DateTimeOffset at,
        IReadOnlyDictionary<(string Site, Quantity Quantity), (Reading Reading, DateTimeOffset At)> last)
    {
        (Watches, Journal, Forecast, At, LastReadings) = (watches, journal, forecast, at, last);
    }

    /// <summary>The watches by site id.</summary>
    public IReadOnlyDictionary<string, SiteWatch> Watches { get; }

    /// <summary>The journal's sound entries.</summary>
    public IReadOnlyList<JournalEntry> Journal { get; }

    /// <summary>The last forecast that the service took in, whatever its age.</summary>
    public Forecast? Forecast { get; }

    /// <summary>The moment, UTC.</summary>
    public DateTimeOffset At { get; }

    /// <summary>The last reading of each quantity that was taken, with its arrival.</summary>
    public IReadOnlyDictionary<(string Site, Quantity Quantity), (Reading Reading, DateTimeOffset At)> LastReadings { get; }

    /// <summary>What was kept aside up to the moment, oldest first.</summary>
    public IReadOnlyList<QuarantinedMessage> Refused { get; private init; } = [];

    /// <summary>Feeds the season.</summary>
    /// <param name="garden">The garden.</param>
    /// <param name="at">Up to this moment.</param>
    /// <param name="journal">The journal's entries; <c>null</c>: the store's.</param>
    /// <param name="findings">Gets a sentence for each journal entry that is left out.</param>
    /// <param name="almanacs">Keeps what the season was; <c>null</c>: nobody asks for it.</param>
    /// <param name="only">The id of the one site that is asked for; <c>null</c>: all are.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static StoredSeason Load(
        GardenFile garden,
        DateTimeOffset at,
        IReadOnlyList<JournalEntry>? journal,
        ICollection<string> findings,
        AlmanacKeeper? almanacs = null,
        string? only = null)
    {
        var sites = garden.Sites.ToList();
        var there = File.Exists(garden.Store.Path);
        if (journal is null && there)
        {
            using var book = JournalBook.Reading(garden.Store.Path);
            journal = JournalRow.Standing(book.Rows());
        }

        var sound = Sound(sites, journal ?? [], findings);
        foreach (var stranger in JournalCheck.Strangers(journal ?? [], sites))
            findings.Add(stranger.Text);
        var last = new LastReadings();
        Forecast? forecast = null;
        List<QuarantinedMessage> refused = [];
        using var store = there ? SentinelStore.Reading(garden.Store.Path) : null;
        var outages = store?.Outages().Where(since => since <= at).ToList();
        var season = new SeasonFeed(
            sites.Where(site => only is null || site.Id == only),
            almanacs is null ? null : almanacs.Note,
            sound,
            outages,
            onInterval: almanacs is null ? null : almanacs.Note);
        if (store is not null)
        {
            var faults = store.Faults();
            var series = SeriesMaps.InStore(store, garden.Series.Where(one => only is null || one.SiteId == only));
            season.Feed(
                SeriesMaps.Season(store, series, JudgedSeasons.StartFor(garden, at)),
                until: at,
                onTaken: last.Note);
            forecast = store.LastForecast() is { } kept ? ForecastJson.Read(kept).Forecast : null;
            if (store.DamagedReadings is > 0 and var damaged)
                faults = [.. faults, FormattableString.Invariant($"{damaged} readings are not as they were written and left out")];
            if (faults.Count > 0)
                findings.Add(
                    $"The store {garden.Store.Path} is damaged: {string.Join("; ", faults)}. "
                        + "Start the service again: it saves what can be saved.");
            if (HourlyOnly(store, JudgedSeasons.StartFor(garden, at), sites[0].Zone) is { } hourly)
                findings.Add(hourly);
            if (store.Damage() is { } rescued && rescued.At > at - RecentDamage && rescued.At <= at)
                findings.Add(rescued.Sentence(sites[0].Zone));
            refused = store.Quarantine();
            refused.RemoveAll(row => StoredTime.ToMoment(row.FirstUs) > at);
        }

        season.AdvanceTo(at);
        return new StoredSeason(season.Watches, sound, forecast, at, last.ByQuantity()) { Refused = refused };
    }

    /// <summary>Says that of a time only hourly values are left, as a sentence; <c>null</c>: its readings are all there.</summary>
    /// <param name="store">The store.</param>
    /// <param name="from">Start of the time.</param>
    /// <param name="zone">The zone of the days.</param>
    internal static string? HourlyOnly(SentinelStore store, DateTimeOffset from, TimeZoneInfo zone) =>
        store.HourlyUntil() is { } until && from < until
            ? string.Create(
                CultureInfo.InvariantCulture,
                $"Before {TimeZoneInfo.ConvertTime(until, zone):yyyy-MM-dd HH:mm} only hourly values are kept (store.keep_years), "
                    + $"which nothing can be judged from: that time counts as unknown. 'export hours' writes them.")
            : null;

    /// <summary>The entries of known plantings against which nothing speaks.</summary>
    internal static IReadOnlyList<JournalEntry> Sound(
        IEnumerable<Site> sites,
        IReadOnlyList<JournalEntry> journal,
        ICollection<string> findings
    ) =>
        [
            .. sites.SelectMany(site =>
                JournalCheck.Sound(
                    journal.Where(entry => entry.Site == site.Id),
                    new SeasonCalendar(site.LatitudeDeg),
                    found => findings.Add(found.Text))),
        ];
}
