using System.CommandLine;
using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Garden;
using BackyardSentinel.Logs;
using BackyardSentinel.Phenology;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Units;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Replay;

/// <summary>The options that say which logs are judged, how they are read, and with which site: those of every command that does.</summary>
/// <param name="command">The command's name.</param>
internal sealed class LogWishOptions(string command)
{
    private readonly Argument<string[]> _logs = new("LOG")
    {
        Description =
            "Recorded logs, or folders of them: CSV, raw messages, exported readings, plain or gzip, several read as one; "
                + "or a store (default: the garden's store)",
        Arity = ArgumentArity.ZeroOrMore,
    };

    private readonly Option<string?> _garden = new("--garden")
    {
        HelpName = "FILE",
        Description = "Judge with the settings and plantings of this garden file",
    };

    private readonly Option<string?> _site = new("--site")
    {
        HelpName = "ID",
        Description = "The garden file's site to judge with; without --garden just a name in the output",
    };

    private readonly Option<TimeSpan?> _step =
        Span("--step", "Length of an interval: 5m, 10m, 15m, 20m, 30m or 60m (default: the garden file's, else 10m)");

    private readonly Option<TimeSpan?> _period =
        Span("--period", "Each row describes this much time, such as 60m; without it rows are momentary");

    private readonly Option<string?> _stamp = new Option<string?>("--stamp")
    {
        Description = "What a row's time marks: start, end or instant (default: start with --period, else instant)",
    }.AcceptOnlyFromAmong("start", "end", "instant");

    private readonly Option<string?> _zone = new("--zone")
    {
        HelpName = "ZONE",
        Description = "IANA zone of local days and of times without a zone (default: the garden file's, else UTC)",
    };

    private readonly Option<string?> _stage = new("--stage")
    {
        HelpName = "STAGE",
        Description =
            "always, followed, or the BBCH code 0-97 that holds throughout (default: the garden file's; "
                + "else followed with --journal or --latitude, always without)",
    };

    private readonly Option<string?> _journal = new("--journal")
    {
        HelpName = "FILE",
        Description = "What the grower saw and did: a file of entries, or a store",
    };

    private readonly Option<double?> _latitude = Number(
        "--latitude",
        "Latitude of the log, south negative: bud stages are then followed (default: the garden file's)");

    private readonly Option<double?> _wetOn = Number("--wet-on", "Leaf-wetness value from which the sensor counts as wet");

    private readonly Option<string?> _from = new("--from") { HelpName = "TIME", Description = "Leave out rows before this time" };

    private readonly Option<string?> _to = new("--to") { HelpName = "TIME", Description = "Leave out rows at or after this time" };

    private readonly Option<string[]> _columns = new("--columns")
    {
        HelpName = "ROLE=NAME",
        Description =
            "Other column names: time=… (or time=DAY+CLOCK where they stand apart), temperature=…, humidity=…, leaf-wetness=…, "
                + "rain=…, wind-speed=…, leaf-wetness-under-shelter=…",
        AllowMultipleArgumentsPerToken = true,
        DefaultValueFactory = _ => [],
    };

    private readonly Option<string> _units = new Option<string>("--units")
    {
        Description = "Units of the log: metric, or us for °F, inches and mph; without --garden of the text too",
        DefaultValueFactory = _ => "metric",
    }.AcceptOnlyFromAmong("metric", "us");

    private readonly Option<string?> _pattern = new("--time-pattern")
    {
        HelpName = "PATTERN",
        Description = "How the log writes its local times, such as \"MM/dd/yyyy HH:mm\" or \"M/d/yyyy h:mm tt\"",
    };

    private readonly Option<bool> _influx = new("--influx")
    {
        Description = "Judge what the garden file's InfluxDB server has of the site, in place of a log",
    };

    /// <summary>Adds them to the command, in the order of its help.</summary>
    public void AddTo(Command to)
    {
        to.Add(_logs);
        foreach (
            var option in new Option[]
            {
                _garden, _site, _step, _period, _stamp, _zone, _stage, _journal, _latitude, _wetOn, _from, _to, _columns, _units, _pattern,
                _influx,
            })
            to.Add(option);
    }

    /// <summary>What is asked for.</summary>
    /// <param name="parsed">The command line.</param>
    /// <exception cref="LogProblemException">An option cannot be understood, or the logs cannot be read as one.</exception>
    /// <exception cref="GardenProblemException">The garden file cannot be used.</exception>
    public LogWish Read(ParseResult parsed)
    {
        var given = parsed.GetValue(_logs)!;
        if (given.FirstOrDefault(path => path.StartsWith("--", StringComparison.Ordinal)) is { } stray)
            throw new LogProblemException($"{stray}: {command} has no such option; --help lists those it has.");
        var rowPeriod = parsed.GetValue(_period) ?? TimeSpan.Zero;
        var garden = parsed.GetValue(_garden) is { } path ? GardenProblemException.Read(path) : null;
        List<string> notes = [];
        var source = parsed.GetValue(_influx)
            ? new ReplaySource(LogKind.Influx, [ReplayInflux.NameOf(garden, given)], null)
            : ReplaySource.Of(given, garden, parsed.GetValue(_site), notes);
        source.Refuse(
            new Option[] { _columns, _units, _pattern, _period, _stamp }
                .Where(option => parsed.GetResult(option) is { Implicit: false })
                .Select(option => option.Name));
        // A store's own journal goes with it.
        var journalPath = parsed.GetValue(_journal) ?? (source.Kind == LogKind.Store ? source.Paths[0] : null);
        var isKept = parsed.GetValue(_journal) is not null || (journalPath is not null && HasJournal(journalPath, garden));
        var site = ReplaySite.Build(
            parsed.GetValue(_garden),
            garden is null ? parsed.GetValue(_site) ?? source.SiteInLog : parsed.GetValue(_site),
            parsed.GetValue(_step),
            parsed.GetValue(_zone),
            parsed.GetValue(_stage) ?? (isKept && garden is null ? "followed" : null),
            parsed.GetValue(_wetOn),
            Latitude(parsed.GetValue(_latitude)));
        List<string> findings = [];
        var entries = isKept ? Journal(journalPath, ref site, source, garden, findings) : null;
        var units = UnitSystem.Find(parsed.GetValue(_units))!;
        if (garden is null)
            site = site with { Units = units };
        var options = new LogOptions
        {
            Period = rowPeriod,
            Stamp = Stamp(parsed.GetValue(_stamp), rowPeriod),
            Zone = site.Zone,
            Units = units,
            TimePattern = Pattern(parsed.GetValue(_pattern)),
            Columns = Columns(parsed.GetValue(_columns)!),
            From = Moment(parsed.GetValue(_from), site, "--from") ?? DateTimeOffset.MinValue,
            To = Moment(parsed.GetValue(_to), site, "--to") ?? DateTimeOffset.MaxValue,
        };
        if (options.From >= options.To)
            throw new LogProblemException("--from is not before --to, so no row could be taken.");
        return new LogWish(source, garden, site, options, entries, findings, notes);
    }

    /// <summary>With a garden file somebody keeps a journal, if an empty one; without, a store where none was written has none.</summary>
    private static bool HasJournal(string store, GardenFile? garden)
    {
        if (garden is not null)
            return true;
        using var book = JournalBook.Reading(store);
        return book.LastNumber() > 0;
    }

    private static IReadOnlyList<JournalEntry> Journal(
        string? file, ref Site site, ReplaySource source, GardenFile? garden, List<string> findings)
    {
        var entries = JournalFile.Read(file!, site.Id, findings);
        if (garden is not null)
        {
            findings.AddRange(JournalCheck.Strangers(entries, garden.Sites).Select(stranger => stranger.Text));
        }
        else
        {
            var id = site.Id;
            entries =
            [
                .. entries
                    .Where(entry => source.Kind != LogKind.Store || source.Paths[0] != file || entry.Site == id)
                    .Select(entry => entry with { Site = id }),
            ];
            site = ReplaySite.WithPlantingsOf(site, entries);
        }

        return JournalCheck.Sound(entries, new SeasonCalendar(site.LatitudeDeg), found => findings.Add(found.Text));
    }

    private static double? Latitude(double? degrees) => degrees is null or (>= -90 and <= 90)
        ? degrees
        : throw new LogProblemException("--latitude: it lies from -90 to 90 degrees, south of the equator negative.");

    private static Option<double?> Number(string name, string description) => new(name)
    {
        HelpName = "NUMBER",
        Description = description,
        CustomParser = result =>
        {
            if (NumberReader.Read(result.Tokens[0].Value) is { Outcome: NumberOutcome.Number, Value: var number })
                return number;
            result.AddError($"{name}: \"{result.Tokens[0].Value}\" is not a number such as 7 or 0.5.");
            return null;
        },
    };

    private static Option<TimeSpan?> Span(string name, string description) => new(name)
    {
        HelpName = "SPAN",
        Description = description,
        CustomParser = result =>
        {
            if (DurationText.Parse(result.Tokens[0].Value) is { } span && span > TimeSpan.Zero)
                return span;
            result.AddError($"{name}: \"{result.Tokens[0].Value}\" is not a length of time such as 10m or 1h.");
            return null;
        },
    };

    private static LogStamp Stamp(string? word, TimeSpan period)
    {
        if (word is "start" or "end" && period <= TimeSpan.Zero)
            throw new LogProblemException($"--stamp {word} needs --period: say how long each row describes, such as --period 60m.");
        return word switch
        {
            "start" => LogStamp.Start,
            "end" => LogStamp.End,
            "instant" when period > TimeSpan.Zero => throw new LogProblemException(
                "--stamp instant and --period exclude each other: a momentary row describes no time."),
            null when period > TimeSpan.Zero => LogStamp.Start,
            _ => LogStamp.Instant,
        };
    }

    private static DateTimeOffset? Moment(string? text, Site site, string option)
    {
        if (text is null)
            return null;
        var reader = new MomentText(site.Zone, site.Units);
        return reader.Read(text, out _)
            ?? throw new LogProblemException(
                $"{option}: \"{text}\" is not a date or time such as 2027-02-01 or 2027-02-01T06:00:00Z{reader.Example}.");
    }

    /// <summary>A pattern that tells a whole date and a time of day apart; a moment has to come back from its own writing.</summary>
    private static string? Pattern(string? text)
    {
        if (text is null)
            return null;
        var sample = new DateTime(2027, 11, 28, 15, 47, 0);
        try
        {
            if (
                DateTime.TryParseExact(
                    sample.ToString(text, CultureInfo.InvariantCulture),
                    text,
                    CultureInfo.InvariantCulture,
                    DateTimeStyles.None,
                    out var back)
                && back == sample)
                return text;
        }
        catch (FormatException)
        {
            // Told below.
        }

        throw new LogProblemException(
            $"--time-pattern: \"{text}\" does not tell a day and a time of day; write it with yyyy, MM, dd, "
                + "HH (or hh and tt) and mm, such as \"MM/dd/yyyy HH:mm\".");
    }

    private static Dictionary<string, string> Columns(string[] pairs)
    {
        var columns = new Dictionary<string, string>();
        foreach (var pair in pairs.SelectMany(text => text.Split(',', StringSplitOptions.RemoveEmptyEntries)))
        {
            var parts = pair.Split('=', 2);
            if (parts.Length != 2 || !LogLayout.Roles.Contains(parts[0]))
                throw new LogProblemException(
                    $"--columns: \"{pair}\" should be ROLE=NAME, the role one of {string.Join(", ", LogLayout.Roles)}.");
            if (!columns.TryAdd(parts[0], parts[1]))
                throw new LogProblemException($"--columns: {parts[0]} is named twice; one column can be the {parts[0]} column.");
            if (
                columns
                    .FirstOrDefault(other =>
                        other.Key != parts[0] && string.Equals(other.Value, parts[1], StringComparison.OrdinalIgnoreCase))
                    .Key is
                { } taken)
                throw new LogProblemException($"--columns: \"{parts[1]}\" cannot be both {taken} and {parts[0]}.");
        }

        return columns;
    }
}
