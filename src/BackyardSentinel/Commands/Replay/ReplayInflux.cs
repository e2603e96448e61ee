using BackyardSentinel.Configuration;
using BackyardSentinel.Hosting;
using BackyardSentinel.Influx;
using BackyardSentinel.Live;
using BackyardSentinel.Logs;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Replay;

/// <summary>What <c>replay --influx</c> reads: a range of a site's readings out of the garden file's bucket.</summary>
internal static class ReplayInflux
{
    /// <summary>The server, as it is named in place of a file.</summary>
    /// <param name="garden">The garden, if one was named.</param>
    /// <param name="given">Files that were named as well.</param>
    /// <exception cref="LogProblemException">There is no server to read from.</exception>
    public static string NameOf(GardenFile? garden, IReadOnlyList<string> given)
    {
        if (given.Count > 0)
            throw new LogProblemException($"--influx reads what the server has, so no {given[0]} goes with it; choose one.");
        if (garden is null)
            throw new LogProblemException("--influx needs --garden: the garden file tells where the server is.");
        if (garden.Influx is not { } settings)
            throw new LogProblemException(
                "The garden file has no 'influx', so it is not known where to read; docs/influxdb.md tells how to set it up.");
        if (!settings.What.Contains(ForwardedKind.Readings))
            throw new LogProblemException("'what' under 'influx' leaves out the readings, so there is nothing to judge again.");
        return $"InfluxDB {InfluxWiring.Address(settings)}";
    }

    /// <summary>Reads the range.</summary>
    /// <param name="name">The server's name.</param>
    /// <param name="garden">The garden, with its server.</param>
    /// <param name="site">The site's id.</param>
    /// <param name="options">From when to when; where that is left out, as far back as the service judges, and up to now.</param>
    /// <exception cref="LogProblemException">The readings cannot be had.</exception>
    public static SeasonLog Read(string name, GardenFile garden, string site, LogOptions options)
    {
        var address = InfluxWiring.Address(garden.Influx!);
        var to = options.To == DateTimeOffset.MaxValue ? TimeProvider.System.GetUtcNow() + SiteWatch.LargestLead : options.To;
        var from = options.From == DateTimeOffset.MinValue ? JudgedSeasons.StartFor(garden, to) : options.From;
        using var server = new InfluxServer(address);
        var (season, answer) = InfluxReadings
            .ReadAsync(server, address.Bucket, garden.SeriesOf(site), site, from, to, CancellationToken.None)
            .GetAwaiter()
            .GetResult();
        if (season is null)
            throw new LogProblemException(
                answer.Outcome == InfluxOutcome.NotAllowed
                    ? $"{name} does not let this token read ({answer.Reason}). Look at url, org, "
                        + "bucket and token under 'influx' in the garden file: the token must be allowed to read the bucket."
                    : $"{name} gave no readings ({answer.Reason}). Is it running, and can this computer reach it?");
        return SeasonLog.OfServer(name, season.Readings, Outages(garden, from, to), season.Unknown);
    }

    /// <summary>When listening stopped: this computer's store tells, where it is the one that the readings came from.</summary>
    private static List<DateTimeOffset> Outages(GardenFile garden, DateTimeOffset from, DateTimeOffset to)
    {
        if (!File.Exists(garden.Store.Path))
            return [];
        using var store = SentinelStore.Reading(garden.Store.Path);
        return [.. store.Outages().Where(since => since >= from && since < to)];
    }
}
