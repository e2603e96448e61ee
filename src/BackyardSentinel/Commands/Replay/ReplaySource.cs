using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Logs;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Replay;

/// <summary>What <c>replay</c> is given to read: files of one kind, or the garden's store.</summary>
/// <param name="Kind">What the files hold.</param>
/// <param name="Paths">The files, those of folders among them.</param>
/// <param name="SiteInLog">The site whose readings are taken; <c>null</c>: the log names none.</param>
internal sealed record ReplaySource(LogKind Kind, IReadOnlyList<string> Paths, string? SiteInLog)
{
    /// <summary>Looks at what is given.</summary>
    /// <param name="given">Files and folders; none: the garden's store.</param>
    /// <param name="garden">The garden, if one was named.</param>
    /// <param name="site">The site that was asked for.</param>
    /// <param name="notes">Gets a sentence for each folder of which files were left out.</param>
    /// <exception cref="LogProblemException">It cannot be read as one log.</exception>
    public static ReplaySource Of(IReadOnlyList<string> given, GardenFile? garden, string? site, ICollection<string> notes)
    {
        if (given.Count == 0 && garden is null)
            throw new LogProblemException("Name a log to replay, or a garden file with --garden: the log is then its store.");
        if (given.Count == 0)
        {
            SentinelStore.Reading(garden!.Store.Path).Dispose(); // Whether it is there is said before its journal is looked for.
            return new ReplaySource(LogKind.Store, [garden.Store.Path], null);
        }

        var paths = LogFiles.Of(given, notes);
        var kind = LogKinds.Of(paths[0]);
        foreach (var path in paths.Skip(1))
        {
            var other = LogKinds.Of(path);
            if (other != kind)
                throw new LogProblemException(
                    $"{paths[0]} is {Called(kind)} and {path} is {Called(other)}; only logs of one kind are read as one. "
                        + "Replay them one after the other.");
        }

        if (kind == LogKind.Store && paths.Count > 1)
            throw new LogProblemException("One store at a time: it holds all that its service has heard.");
        if (kind == LogKind.Messages && garden is null)
            throw new LogProblemException(
                $"{paths[0]}: these are raw messages; name the garden file with --garden, whose series say how to read them.");
        var sites = kind switch
        {
            LogKind.Store => StoreSites(paths[0]),
            LogKind.Readings => [.. paths.SelectMany(ReadingsFile.SitesIn).Distinct()],
            LogKind.Table or LogKind.Messages or LogKind.Influx => [],
        };
        // Exported readings may be another's: a garden judges them by its own settings.
        return new ReplaySource(
            kind, paths, SiteOf(paths[0], sites, garden, site, mayBeOthers: kind == LogKind.Readings && garden is not null));
    }

    /// <summary>What a log of rows is told with options, a log of single readings says itself.</summary>
    /// <param name="options">The options that were given and are for rows only.</param>
    public void Refuse(IEnumerable<string> options)
    {
        if (Kind != LogKind.Table && options.FirstOrDefault() is { } option)
            throw new LogProblemException(
                $"{option} is for logs of rows and columns; {Paths[0]} is {Called(Kind)} and says this itself. Leave it out.");
    }

    /// <summary>The site as this log lets it be judged; a garden file's stays as it is.</summary>
    public static Site Fitted(Site site, SeasonLog log)
    {
        return site with
        {
            HasRainGauge = log.Quantities.Contains(Quantity.Rain),
            UnderShelter = log.Quantities.Contains(Quantity.LeafWetnessUnderShelter)
                ? new WetnessScale(site.LeafWetOn, site.LeafWetOff, site.LeafWetInverted)
                : null,
        };
    }

    /// <summary>Opens a log of single readings.</summary>
    /// <param name="garden">The garden, if one was named.</param>
    /// <param name="site">The site as it is judged.</param>
    /// <param name="options">From when to when.</param>
    public SeasonLog Open(GardenFile? garden, Site site, LogOptions options) => Kind switch
    {
        LogKind.Store => SeasonLog.OfStore(Paths[0], garden is null ? SiteInLog! : site.Id, garden, options.From, options.To),
        LogKind.Readings => SeasonLog.OfReadings(Paths, SiteInLog, options.From, options.To),
        LogKind.Messages => MessagesLog.Read(Paths, garden!, site.Id, options.From, options.To),
        LogKind.Influx => ReplayInflux.Read(Paths[0], garden!, site.Id, options),
        LogKind.Table => throw new InvalidOperationException("Rows are read by the reader of logs."),
    };

    private static List<string> StoreSites(string path)
    {
        using var store = SentinelStore.Reading(path);
        return [.. SeriesNames.Of(store.SeriesNames.Values).Select(map => map.SiteId).Distinct()];
    }

    private static string? SiteOf(string path, List<string> sites, GardenFile? garden, string? site, bool mayBeOthers)
    {
        if (sites.Count == 0)
            return null;
        var wanted = site ?? (garden is { Sites: [var only] } ? only.Id : null);
        if (wanted is not null && sites.Contains(wanted))
            return wanted;
        if (sites.Count == 1 && (mayBeOthers || wanted is null))
            return sites[0];
        throw new LogProblemException(
            wanted is null
                ? $"{path} has readings of {sites.Count} sites ({string.Join(", ", sites)}); say which with --site."
                : $"{path} has no readings of the site \"{LogExcerpt.Of(wanted)}\"; it has those of {string.Join(", ", sites)}.");
    }

    private static string Called(LogKind kind) => kind switch
    {
        LogKind.Table => "a log of rows and columns",
        LogKind.Readings => "a file of exported readings",
        LogKind.Messages => "a file of raw messages",
        LogKind.Store => "a store",
        LogKind.Influx => "a server",
    };
}
