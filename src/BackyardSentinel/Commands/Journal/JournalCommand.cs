using System.CommandLine;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands.Journal;

/// <summary>The command <c>journal</c>: what the grower did or saw. It writes into the store, also while the service runs.</summary>
public static class JournalCommand
{
    /// <summary>Builds the command.</summary>
    public static Command Create(TimeProvider time)
    {
        var add = new Command("add", "Write down what you did or saw")
        {
            Stage(time), Spray(time), Scout(time), Pick(time), LeafFall(time), Shelter(time),
        };
        return new Command("journal", "Your own notes: stages seen, sprays done, scouting, picking, leaf fall, rain shelter")
        {
            add,
            Withdraw(time),
            List(),
        };
    }

    private static Command Stage(TimeProvider time)
    {
        var stage = new Argument<string>("STAGE")
        {
            Description =
                "shut, swell, green-tip, first-leaves, bloom or petal-fall; or a BBCH code: 0 shut, 1 leaf buds swell, 9 green tips, "
                    + "10 first leaves, 51 flower buds swell, 60 first flowers open, 65 full bloom, 69 petals fallen",
        };
        return Adding(
            time,
            new Command("stage", "A bud stage was seen") { stage },
            (parsed, _, place) => new StageEntry(0, place.Site, place.Planting, place.On, Code(parsed.GetValue(stage)!)));

        static int Code(string text) =>
            BudStageNames.CodeOf(text)
            ?? throw new CommandProblemException(
                $"\"{text}\" is no stage: write {string.Join(", ", BudStageNames.All)}, or a BBCH code from 0 to 97.");
    }

    private static Command Spray(TimeProvider time)
    {
        var product = new Argument<string>("PRODUCT") { Description = "The product's id in the garden file" };
        var volume = new Option<string>("--volume")
        {
            HelpName = "AMOUNT",
            Description = "Spray mixture used on the whole planting, such as 5L or 1.5gal",
            Required = true,
        };
        var dose = new Option<string?>("--dose")
        {
            HelpName = "AMOUNT",
            Description = "Product in it, such as 7.5g/L or 2floz/gal (default: the product's dose)",
        };
        var at = new Option<string?>("--at")
        {
            HelpName = "TIME",
            Description = "Local time at which you ended, such as 14:30 (default: noon is assumed)",
        };
        return Adding(
            time,
            new Command("spray", "A spray was applied") { product, volume, dose, at },
            (parsed, garden, place) =>
            {
                var used = JournalAdding.Product(garden, parsed.GetValue(product)!);
                return new SprayEntry(
                    0,
                    place.Site,
                    place.Planting,
                    place.On,
                    used.Id,
                    Taken("--volume", JournalAmounts.Volume(parsed.GetValue(volume)!, garden.Units, out var fault), fault),
                    parsed.GetValue(dose) is { } text
                        ? Taken("--dose", JournalAmounts.Dose(text, used, garden.Units, out fault), fault)
                        : null,
                    parsed.GetValue(at) is { } clock ? Taken("--at", JournalAmounts.Clock(clock, out fault), fault) : null);
            });

        static T Taken<T>(string option, T? value, string? fault)
            where T : struct => value ?? throw new CommandProblemException($"{option}: {fault}");
    }

    private static Command Scout(TimeProvider time)
    {
        var shoots = new Option<int>("--shoots") { HelpName = "NUMBER", Description = "Shoots looked at", DefaultValueFactory = _ => 20 };
        var curled = new Option<int>("--curled") { HelpName = "NUMBER", Description = "Shoots with leaf curl among them", Required = true };
        var symptom = new Option<string?>("--symptom") { Description = "The furthest you saw" };
        symptom.AcceptOnlyFromAmong([.. SymptomWords.All]);
        return Adding(
            time,
            new Command("scout", "Shoots were looked at for leaf curl") { shoots, curled, symptom },
            (parsed, _, place) =>
                new ScoutEntry(
                    0,
                    place.Site,
                    place.Planting,
                    place.On,
                    parsed.GetValue(shoots),
                    parsed.GetValue(curled),
                    parsed.GetValue(symptom) is { } word ? SymptomWords.Of(word) : null));
    }

    private static Command Pick(TimeProvider time) =>
        Adding(
            time,
            new Command("pick", "Curled leaves were picked"),
            (_, _, place) => new PickEntry(0, place.Site, place.Planting, place.On));

    private static Command LeafFall(TimeProvider time)
    {
        var share = new Argument<double>("PERCENT") { Description = "Share of the leaves that are down, 0 to 100" };
        return Adding(
            time,
            new Command("leaf-fall", "So many leaves have fallen in autumn") { share },
            (parsed, _, place) => new LeafFallEntry(0, place.Site, place.Planting, place.On, parsed.GetValue(share)));
    }

    private static Command Shelter(TimeProvider time)
    {
        var state = new Argument<string>("STATE")
        {
            Description = "on: put over the planting; off: taken away. It counts from the beginning of the day",
        };
        state.AcceptOnlyFromAmong("on", "off");
        return Adding(
            time,
            new Command("shelter", "The rain shelter was put over a planting, or taken off") { state },
            (parsed, _, place) => new ShelterEntry(0, place.Site, place.Planting, place.On, parsed.GetValue(state) == "on"));
    }

    private static Command Adding(TimeProvider time, Command command, Func<ParseResult, GardenFile, JournalPlace, JournalEntry> build)
    {
        var garden = CommandRun.Garden();
        var site = new Option<string?>("--site")
        {
            HelpName = "ID",
            Description = "The site; needed where several have a planting of this name",
        };
        var planting = new Option<string?>("--planting") { HelpName = "ID", Description = "The planting; needed where there are several" };
        var on = new Option<string?>("--on") { HelpName = "DAY", Description = "The local day, such as 2027-02-12 (default: today)" };
        var note = new Option<string?>("--note") { HelpName = "TEXT", Description = "Your own words" };
        var corrects = new Option<long?>("--corrects")
        {
            HelpName = "NUMBER",
            Description = "The number of the entry that this one takes the place of",
        };
        var dryRun = new Option<bool>("--dry-run") { Description = "Say what would be written and write nothing" };
        var begin = new Option<bool>("--new") { Description = "Begin a store that no service has used yet" };
        foreach (var option in (Option[])[garden, site, planting, on, note, corrects, begin, dryRun])
            command.Add(option);
        command.SetAction(parsed =>
            Telling(
                parsed,
                output =>
                {
                    var file = GardenProblemException.Read(parsed.GetValue(garden)!);
                    var place = JournalPlace.Find(
                        file,
                        parsed.GetValue(site),
                        parsed.GetValue(planting),
                        parsed.GetValue(on),
                        time.GetUtcNow());
                    var entry = build(parsed, file, place) with { Note = parsed.GetValue(note) };
                    return new JournalAdding(file, place, time.GetUtcNow()).Add(
                        entry,
                        parsed.GetValue(corrects),
                        parsed.GetValue(begin),
                        parsed.GetValue(dryRun),
                        output);
                }));
        return command;
    }

    private static Command Withdraw(TimeProvider time)
    {
        var number = new Argument<long>("NUMBER") { Description = "The entry's number, as 'journal list' shows it" };
        var garden = CommandRun.Garden();
        var dryRun = new Option<bool>("--dry-run") { Description = "Say what would be taken back and write nothing" };
        var command = new Command("withdraw", "Take an entry back; the history keeps it") { number, garden, dryRun };
        command.SetAction(parsed => Telling(parsed, output =>
        {
            var file = GardenProblemException.Read(parsed.GetValue(garden)!);
            using var book = JournalBook.OpenExisting(file.Store.Path);
            var entry = JournalAdding.Standing(book, parsed.GetValue(number));
            if (parsed.GetValue(dryRun))
                output.WriteLine($"Would take back {JournalText.Line(entry, file)}");
            else
                output.WriteLine($"Taken back as line {book.Withdraw(entry, time.GetUtcNow())}: {JournalText.Line(entry, file)}");
            return ExitCode.Done;
        }));
        return command;
    }

    private static Command List()
    {
        var garden = CommandRun.Garden();
        var planting = new Option<string?>("--planting") { HelpName = "ID", Description = "Only this planting" };
        var all = new Option<bool>("--all") { Description = "Corrected and withdrawn lines too" };
        var json = new Option<bool>("--json") { Description = "Print one JSON object, which replay --journal reads" };
        var command = new Command("list", "Show the journal") { garden, planting, all, json };
        command.SetAction(parsed => Telling(parsed, output =>
        {
            var file = GardenProblemException.Read(parsed.GetValue(garden)!);
            var store = file.Store.Path;
            if (!File.Exists(store))
            {
                if (parsed.GetValue(json))
                    JournalText.WriteJson([], output);
                parsed.InvocationConfiguration.Error.WriteLine($"The journal is empty: there is no store {Path.GetFullPath(store)} yet.");
                return ExitCode.Done;
            }

            using var book = JournalBook.Reading(store);
            var rows = book.Rows();
            // What holds is told by all lines: one that takes back or corrects may not be of the planting itself.
            var standing = JournalRow.Standing(rows);
            if (parsed.GetValue(planting) is { } only)
            {
                var known = rows.Select(row => row.Entry?.Planting).OfType<string>().Distinct().ToList();
                if (known.Count > 0 && !known.Contains(only))
                    throw new CommandProblemException($"The journal says nothing of {only}; it has entries of {string.Join(", ", known)}.");
                var named = rows.Where(row => row.Entry?.Planting == only).Select(row => row.Number).ToHashSet();
                rows = [.. rows.Where(row => named.Contains(row.Number) || (row.Withdraws is { } gone && named.Contains(gone)))];
                standing = [.. standing.Where(entry => entry.Planting == only)];
            }

            if (parsed.GetValue(json))
                JournalText.WriteJson(standing, output);
            else
                JournalText.Write(rows, standing, file, parsed.GetValue(all), output);

            return ExitCode.Done;
        }));
        return command;
    }

    private static int Telling(ParseResult parsed, Func<TextWriter, int> action) =>
        CommandRun.Guarded(parsed.InvocationConfiguration.Error, () => action(parsed.InvocationConfiguration.Output));
}
