using System.Globalization;
using System.Text;
using System.Text.Json;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Logs;
using BackyardSentinel.Phenology;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Export;

/// <summary>What is asked of <c>export</c>, checked, and how it is written.</summary>
internal sealed class ExportWish
{
    private readonly string _what;
    private readonly DateTimeOffset _from, _to;
    private readonly IReadOnlyList<Site> _sites;
    private readonly List<string> _findings = [];

    /// <summary>Checks what was asked.</summary>
    /// <exception cref="CommandProblemException">It cannot be done.</exception>
    public ExportWish(string what, string format, GardenFile garden, string? site, string? from, string? to)
    {
        if ((format == "json" && what != "journal") || (format == "parquet" && what != "readings"))
            throw new CommandProblemException(
                format == "json"
                    ? $"--format json is for the journal; {what} "
                        + (what is "copper" ? "is" : "are") + " written as csv" + (what is "readings" ? " or parquet." : ".")
                    : $"--format parquet is for readings; {what} {(what is "copper" or "journal" ? "is" : "are")} written as csv.");
        (_what, Format, Garden) = (what, format, garden);
        _sites = site is null ? garden.Sites : [.. garden.Sites.Where(one => one.Id == site)];
        if (_sites.Count == 0)
            throw new CommandProblemException(
                $"--site: the garden has no site \"{LogExcerpt.Of(site)}\"; "
                    + $"it has {string.Join(", ", garden.Sites.Select(one => one.Id))}.");
        _from = Moment(from, "--from") ?? DateTimeOffset.MinValue;
        _to = Moment(to, "--to") ?? DateTimeOffset.MaxValue;
        if (_from >= _to)
            throw new CommandProblemException("--from is not before --to, so there is nothing to write.");
    }

    /// <summary>The format.</summary>
    public string Format { get; }

    /// <summary>The garden.</summary>
    public GardenFile Garden { get; }

    /// <summary>What there is to say once it is written, a sentence each.</summary>
    public IReadOnlyList<string> Findings => _findings;

    /// <summary>Writes to a file.</summary>
    public async Task WriteAsync(Stream output)
    {
        if (Format == "parquet")
        {
            using var store = OpenStore();
            await ExportParquet.WriteAsync(Readings(store), output).ConfigureAwait(false);
            Tell(store);
            return;
        }

        var text = new StreamWriter(output, new UTF8Encoding(false), bufferSize: 1 << 16, leaveOpen: true);
        await using (text.ConfigureAwait(false))
            Write(text);
    }

    /// <summary>Writes text.</summary>
    public void Write(TextWriter output)
    {
        switch (_what)
        {
            case "readings":
                using (var store = OpenStore())
                {
                    ExportTables.Readings(Readings(store), output);
                    Tell(store);
                }

                break;
            case "hours":
                using (var store = OpenStore())
                    ExportIntervals.WriteHours(store, _sites, _from, _to, output);
                break;
            case "intervals":
                using (var store = OpenStore())
                {
                    output.Write(ExportIntervals.Header);
                    foreach (var site in _sites)
                        ExportIntervals.Write(store, Garden, site, _from, _to, output);
                    TellGaps(store);
                }

                break;
            case "windows":
                ExportTables.Windows(_sites.Select(Replayed), output);
                break;
            case "copper":
                ExportTables.Copper(_sites, Journal(), _from, _to, output);
                _findings.AddRange(_sites.SelectMany(site => SitePlan.Ledger(site, Journal()).Findings).Select(finding => finding.Text));
                TellSites();
                break;
            default:
                var entries = Journal().Where(entry => _sites.Any(site => site.Id == entry.Site && IsIn(entry, site))).ToList();
                if (Format == "json")
                    output.Write(
                        JsonSerializer.Serialize(
                            new JournalDocument([.. entries.Select(JournalLine.Of)]), ContractJson.Printed.JournalDocument)
                            + "\n");
                else
                    ExportTables.Journal(entries, output);
                TellSites();
                break;
        }
    }

    private IEnumerable<ReadingsRow> Readings(SentinelStore store) =>
        ReadingsRow.Of(store, Garden, [.. _sites.Select(site => site.Id)], _from, _to);

    private void Tell(SentinelStore store)
    {
        TellGaps(store);
        var strangers = ReadingsRow.Strangers(store, Garden, [.. _sites.Select(site => site.Id)]);
        if (strangers.Count > 0)
            _findings.Add(
                $"The garden file no longer has {string.Join(", ", strangers.Select(name => LogExcerpt.OneLine(name)))}: "
                    + "their readings have no place, and replay leaves them out.");
    }

    /// <summary>What was written down of a site that the garden file calls otherwise now is in no table.</summary>
    private void TellSites() => _findings.AddRange(
        JournalCheck.Strangers(Journal().Where(entry => Garden.Sites.All(site => site.Id != entry.Site)), [.. Garden.Sites])
            .Select(stranger => stranger.Text));

    private void TellGaps(SentinelStore store)
    {
        if (store.DamagedReadings is > 0 and var damaged)
            _findings.Add(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"The store {Garden.Store.Path} is damaged: {damaged} readings are not as they were written and left out. "
                        + $"Start the service again: it saves what can be saved."));
        if (StoredSeason.HourlyOnly(store, _from, _sites[0].Zone) is { } hourly)
            _findings.Add(hourly);
    }

    /// <summary>The site as replay judges it from the store, with the store's journal.</summary>
    private ReplayResult Replayed(Site site)
    {
        using var log = SeasonLog.OfStore(Garden.Store.Path, site.Id, Garden, DateTimeOffset.MinValue, _to);
        var journal = JournalCheck.Sound(
            Journal().Where(entry => entry.Site == site.Id), new SeasonCalendar(site.LatitudeDeg), found => _findings.Add(found.Text));
        var result = Replay.Replay.Run(site, log, journal);
        _findings.AddRange(log.Findings);
        return result with { Windows = [.. result.Windows.Where(window => window.OpenedAt >= _from)] };
    }

    private IReadOnlyList<JournalEntry> Journal()
    {
        using var book = JournalBook.Reading(Garden.Store.Path);
        return JournalRow.Standing(book.Rows());
    }

    private SentinelStore OpenStore() => SentinelStore.Reading(Garden.Store.Path);

    private bool IsIn(JournalEntry entry, Site site) => LocalDay.StartOf(entry.On, site.Zone) is var day && day >= _from && day < _to;

    private DateTimeOffset? Moment(string? text, string option)
    {
        if (text is null)
            return null;
        var reader = new MomentText(_sites[0].Zone, Garden.Units);
        return reader.Read(text, out _)
            ?? throw new CommandProblemException(
                $"{option}: \"{LogExcerpt.Of(text)}\" is not a date or time such as 2027-02-01 or 2027-02-01T06:00:00Z{reader.Example}.");
    }
}
