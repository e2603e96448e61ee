using System.CommandLine;
using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Configuration;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Hosting;
using BackyardSentinel.Logs;
using BackyardSentinel.Phenology;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;
using BackyardSentinel.Units;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Replay;

/// <summary>The command <c>replay LOG…</c>.</summary>
public static class ReplayCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create()
    {
        var logs = new Argument<string[]>("LOG")
        {
            Description =
                "Recorded logs, or folders of them: CSV, raw messages, exported readings, plain or gzip, several read as one; "
                    + "or a store (default: the garden's store)",
            Arity = ArgumentArity.ZeroOrMore,
        };
        var garden = new Option<string?>("--garden")
        {
            HelpName = "FILE",
            Description = "Judge with the settings and plantings of this garden file",
        };
        var site = new Option<string?>("--site")
        {
            HelpName = "ID",
            Description = "The garden file's site to judge with; without --garden just a name in the output",
        };
        var step = Span("--step", "Length of an interval: 5m, 10m, 15m, 20m, 30m or 60m (default: the garden file's, else 10m)");
        var period = Span("--period", "Each row describes this much time, such as 60m; without it rows are momentary");
        var stamp = new Option<string?>("--stamp")
        {
            Description = "What a row's time marks: start, end or instant (default: start with --period, else instant)",
        };
        stamp.AcceptOnlyFromAmong("start", "end", "instant");
        var zoneName = new Option<string?>("--zone")
        {
            HelpName = "ZONE",
            Description = "IANA zone of local days and of times without a zone (default: the garden file's, else UTC)",
        };
        var stage = new Option<string?>("--stage")
        {
            HelpName = "STAGE",
            Description =
                "always, followed, or the BBCH code 0-97 that holds throughout (default: the garden file's; "
                    + "else followed with --journal or --latitude, always without)",
        };
        var journal = new Option<string?>("--journal")
        {
            HelpName = "FILE",
            Description = "What the grower saw and did: a file of entries, or a store",
        };
        var latitude = Number(
            "--latitude",
            "Latitude of the log, south negative: bud stages are then followed (default: the garden file's)");
        var wetOn = Number("--wet-on", "Leaf-wetness value from which the sensor counts as wet");
        var from = new Option<string?>("--from") { HelpName = "TIME", Description = "Leave out rows before this time" };
        var to = new Option<string?>("--to") { HelpName = "TIME", Description = "Leave out rows at or after this time" };
        var columns = new Option<string[]>("--columns")
        {
            HelpName = "ROLE=NAME",
            Description =
                "Other column names: time=… (or time=DAY+CLOCK where they stand apart), temperature=…, humidity=…, leaf-wetness=…, "
                    + "rain=…, wind-speed=…, leaf-wetness-under-shelter=…",
            AllowMultipleArgumentsPerToken = true,
            DefaultValueFactory = _ => [],
        };
        var units = new Option<string>("--units")
        {
            Description = "Units of the log: metric, or us for °F, inches and mph; without --garden of the text too",
            DefaultValueFactory = _ => "metric",
        };
        units.AcceptOnlyFromAmong("metric", "us");
        var pattern = new Option<string?>("--time-pattern")
        {
            HelpName = "PATTERN",
            Description = "How the log writes its local times, such as \"MM/dd/yyyy HH:mm\" or \"M/d/yyyy h:mm tt\"",
        };
        var influx = new Option<bool>("--influx")
        {
            Description = "Judge what the garden file's InfluxDB server has of the site, in place of a log",
        };
        var whatIf = new WhatIfOptions();
        var compare = new Option<bool>("--compare")
        {
            Description = "Set the rules and your own variants side by side: where they part, and why",
        };
        var json = new Option<bool>("--json") { Description = "Print one JSON object" };
        var csv = new Option<bool>("--csv") { Description = "Print the infection windows as CSV" };

        var command = new Command("replay", "Judge recorded sensor logs: wet spells, infection windows, levels")
        {
            logs,
            garden,
            site,
            step,
            period,
            stamp,
            zoneName,
            stage,
            journal,
            latitude,
            wetOn,
            from,
            to,
            columns,
            units,
            pattern,
            influx,
            json,
            csv,
            compare,
        };
        foreach (var option in whatIf.All)
            command.Add(option);
        command.SetAction(parsed => CommandRun.Guarded(parsed.InvocationConfiguration.Error, () =>
        {
            var given = parsed.GetValue(logs)!;
            if (given.FirstOrDefault(path => path.StartsWith("--", StringComparison.Ordinal)) is { } stray)
                throw new LogProblemException(
                    RenamedWords.Sentence("replay", stray) ?? $"{stray}: replay has no such option; --help lists those it has.");
            if (parsed.GetValue(json) && parsed.GetValue(csv))
                throw new LogProblemException("--json and --csv exclude each other; choose one.");
            var rowPeriod = parsed.GetValue(period) ?? TimeSpan.Zero;
            var gardenFile = parsed.GetValue(garden) is { } path ? GardenProblemException.Read(path) : null;
            List<string> notes = [];
            var source = parsed.GetValue(influx)
                ? new ReplaySource(LogKind.Influx, [ReplayInflux.NameOf(gardenFile, given)], null)
                : ReplaySource.Of(given, gardenFile, parsed.GetValue(site), notes);
            source.Refuse(
                new Option[] { columns, units, pattern, period, stamp }
                    .Where(option => parsed.GetResult(option) is { Implicit: false })
                    .Select(option => option.Name));
            // A store's own journal goes with it.
            var journalPath = parsed.GetValue(journal) ?? (source.Kind == LogKind.Store ? source.Paths[0] : null);
            var isKept = parsed.GetValue(journal) is not null || (journalPath is not null && HasJournal(journalPath, gardenFile));
            var replaySite = ReplaySite.Build(
                parsed.GetValue(garden),
                gardenFile is null ? parsed.GetValue(site) ?? source.SiteInLog : parsed.GetValue(site),
                parsed.GetValue(step),
                parsed.GetValue(zoneName),
                parsed.GetValue(stage) ?? (isKept && gardenFile is null ? "followed" : null),
                parsed.GetValue(wetOn),
                Latitude(parsed.GetValue(latitude)));
            List<string> findings = [];
            var entries = isKept ? Journal(journalPath, ref replaySite, source, gardenFile is null, findings) : null;
            var zone = replaySite.Zone;
            var logUnits = UnitSystem.Find(parsed.GetValue(units))!;
            if (gardenFile is null)
                replaySite = replaySite with { Units = logUnits };
            var options = new LogOptions
            {
                Period = rowPeriod,
                Stamp = Stamp(parsed.GetValue(stamp), rowPeriod),
                Zone = zone,
                Units = logUnits,
                TimePattern = Pattern(parsed.GetValue(pattern)),
                Columns = Columns(parsed.GetValue(columns)!),
                From = Moment(parsed.GetValue(from), replaySite, "--from") ?? DateTimeOffset.MinValue,
                To = Moment(parsed.GetValue(to), replaySite, "--to") ?? DateTimeOffset.MaxValue,
            };
            if (options.From >= options.To)
                throw new LogProblemException("--from is not before --to, so no row could be taken.");
            var alerts = Alerts(gardenFile, replaySite);
            var ahead = Ahead(gardenFile, entries);
            var move = whatIf.Read(parsed, gardenFile, replaySite, entries);
            if (move is not null && parsed.GetValue(csv))
                throw new LogProblemException("--if-sprayed and --csv exclude each other: the answer is in the text and in --json.");
            if (parsed.GetValue(compare) && parsed.GetValue(csv))
                throw new LogProblemException("--compare and --csv exclude each other: the comparison is in the text and in --json.");
            if (move is not null)
                entries ??= [];
            var say = parsed.GetValue(json) ? Words(gardenFile, zone) : null;
            var result = Judged(source, gardenFile, replaySite, options, entries, alerts, ahead);
            if (move is not null)
            {
                var then = Judged(source, gardenFile, replaySite, options, move.Journal, null, null);
                result = result with { If = WhatIfAnswer.Of(move, result, then) };
            }

            if (parsed.GetValue(compare))
                result = result with
                {
                    Compared = RulesCompared.Of(result.Site, result.Comparison!, result.Windows, result.Sheltered, entries),
                };
            foreach (var note in notes.Concat(result.Notes))
                parsed.InvocationConfiguration.Error.WriteLine(note);
            return Print(
                result with { Findings = [.. findings, .. result.Findings] },
                findings.Count > 0,
                parsed.GetValue(json),
                parsed.GetValue(csv),
                say,
                parsed.InvocationConfiguration.Output);
        }));
        return command;
    }

    private static ReplayResult Judged(
        ReplaySource source,
        GardenFile? garden,
        Site site,
        LogOptions options,
        IReadOnlyList<JournalEntry>? journal,
        AlertPolicyOptions? alerts,
        Func<SiteWatch, DateTimeOffset, IEnumerable<Occasion>>? ahead)
    {
        if (source.Kind == LogKind.Table)
        {
            using var progress = ProgressBar.For(source.Paths);
            return Replay.Run(site, source.Paths, options, progress.Show, journal, alerts, ahead);
        }

        using var log = source.Open(garden, site, options);
        return Replay.Run(garden is null ? ReplaySource.Fitted(site, log) : site, log, journal, alerts, ahead);
    }

    private static int Print(ReplayResult result, bool hasFindings, bool json, bool csv, Func<Alert, AlertText>? say, TextWriter text)
    {
        if (json)
        {
            using var output = Console.OpenStandardOutput();
            ReplayJson.Write(result, output, say);
        }
        else
        {
            if (csv)
            {
                using var output = new StreamWriter(Console.OpenStandardOutput());
                ReplayCsv.Write(result, output);
            }
            else
            {
                ReplayText.Write(result, FoldingWriter.For(text));
            }
        }

        if (result.RejectedCount > 0 && (json || csv))
            Console.Error.WriteLine($"{result.RejectedCount} rows or values were not taken; --json lists them with their reasons.");
        return result.RejectedCount > 0 || hasFindings || result.Doubts.Count > 0 || result.End is null
            ? ExitCode.Findings
            : ExitCode.Done;
    }

    /// <summary>With a garden file somebody keeps a journal, if an empty one; without, a store where none was written has none.</summary>
    private static bool HasJournal(string store, GardenFile? garden)
    {
        if (garden is not null)
            return true;
        using var book = JournalBook.Reading(store);
        return book.LastNumber() > 0;
    }

    private static IReadOnlyList<JournalEntry> Journal(string? file, ref Site site, ReplaySource source, bool plain, List<string> findings)
    {
        var entries = JournalFile.Read(file!, site.Id, findings);
        if (plain)
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

        return JournalCheck.Sound(entries, new SeasonCalendar(site.LatitudeDeg), findings);
    }

    /// <summary>A plain log judged as always open would call the phone all year; there is none then.</summary>
    private static AlertPolicyOptions? Alerts(GardenFile? garden, Site site) => garden is not null
        ? AlertWiring.PolicyOf(garden) with { Zone = site.Zone }
        : site.Plantings.Any(planting => planting.Follows is not null) ? new AlertPolicyOptions { Zone = site.Zone } : null;

    /// <summary>The garden's own words and names; read before the logs are, so that what is wrong with them is told at once.</summary>
    private static Func<Alert, AlertText>? Words(GardenFile? garden, TimeZoneInfo zone)
    {
        if (garden is null)
            return null;
        var (words, names) = (AlertWiring.WordsOf(garden), AlertWiring.NamesOf(garden));
        return alert => words.Say(alert, _ => zone, names);
    }

    private static double? Latitude(double? degrees) => degrees is null or (>= -90 and <= 90)
        ? degrees
        : throw new LogProblemException("--latitude: it lies from -90 to 90 degrees, south of the equator negative.");

    /// <summary>
    /// The sprays' deadlines, which the garden file's products and journal tell; forecasts of the past are not at hand, so slots are
    /// not.
    /// </summary>
    private static Func<SiteWatch, DateTimeOffset, IEnumerable<Occasion>>? Ahead(
        GardenFile? garden,
        IReadOnlyList<JournalEntry>? journal)
    {
        if (garden is null)
            return null;
        // Trees that are all in leaf have no spray due: the sums need not be sent ahead.
        return (watch, at) => watch.Plantings.All(planting => planting.Stage.Code is { } code && SprayStage.InLeaf(code))
            ? []
            : SprayOccasions.Of(SitePlan.Of(watch, journal ?? [], null, at), watch.Site);
    }

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
