using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Watching;

/// <summary>Says what speaks against a journal entry, before it is written down or counted.</summary>
public static class JournalCheck
{
    /// <summary>Entries older than this are taken for a slip of the pen.</summary>
    public const int OldestYears = 20;

    /// <summary>Shoots that one entry may tell of; more are taken for a slip of the pen.</summary>
    public const int MostShoots = 10_000;

    /// <summary>Most characters of a note.</summary>
    public const int LongestNote = 200;

    /// <summary>Without a season's start, stages so many days apart are taken to belong to different years.</summary>
    private const int DaysOfOneSpring = 200;

    /// <summary>More mixture than so many times the usual is a slip of the pen (assumed).</summary>
    private const int MostTimesUsual = 50;

    /// <summary>The grower's clock may be ahead of the computer's by so much (assumed).</summary>
    private static readonly TimeSpan ClocksApart = TimeSpan.FromMinutes(10);

    /// <summary>The fault, as a sentence with what to do; <c>null</c> when there is none.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="others">The entries that hold beside it.</param>
    /// <param name="today">Today at the site; <c>null</c>: the day is not judged, as beside a log of some other year.</param>
    /// <param name="calendar">The seasons of the place.</param>
    public static string? Fault(JournalEntry entry, IEnumerable<JournalEntry> others, DateOnly? today, SeasonCalendar calendar) =>
        FaultOf(entry, others, today, calendar)?.ToString();

    /// <summary>What speaks against writing an entry down now; <c>null</c>: nothing.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="standing">The entries that hold.</param>
    /// <param name="now">Now, UTC.</param>
    /// <param name="site">The entry's site.</param>
    public static JournalFault? Against(JournalEntry entry, IEnumerable<JournalEntry> standing, DateTimeOffset now, Site site) =>
        entry is SprayEntry spray && site.Products.All(product => product.Id != spray.Product)
            ? new JournalFault(NoProduct(spray.Product, site.Products))
            : VolumeFault(entry, site)
                ?? FaultOf(entry, standing, LocalDay.Of(now, site.Zone), new SeasonCalendar(site.LatitudeDeg))
                ?? TimeFault(entry, now, site.Zone);

    /// <summary>What speaks against a note, a sentence; <c>null</c>: nothing.</summary>
    /// <param name="note">The note.</param>
    public static string? FaultOfNote(string? note) => note is { Length: > LongestNote }
        ? string.Create(CultureInfo.InvariantCulture, $"A note has at most {LongestNote} characters; this one has {note.Length}.")
        : null;

    /// <summary>That the garden has no such product.</summary>
    /// <param name="id">The product that was named.</param>
    /// <param name="products">Those that there are.</param>
    public static Sentence NoProduct(string id, IReadOnlyList<SprayProduct> products)
    {
        var names = products.Count == 0 ? $"none yet" : Sentence.Joined(", ", products.Select(product => Sentence.Of(product.Id)));
        return $"The garden file has no product {new Name(id)}; it has {names}. Add the product with its label's figures first.";
    }

    /// <summary>
    /// The entry that says the very same already and counts; <c>null</c>: there is none. Two sprays of a day stand side by side; of all
    /// else the last of the day counts, so what was said before that one is said anew.
    /// </summary>
    /// <param name="entry">An entry without a number.</param>
    /// <param name="standing">The entries that hold, by number within a day.</param>
    public static JournalEntry? SaidAlready(JournalEntry entry, IEnumerable<JournalEntry> standing)
    {
        var ofDay = standing.Where(one =>
            one.Kind == entry.Kind && one.Site == entry.Site && one.Planting == entry.Planting && one.On == entry.On);
        var last = entry is SprayEntry ? ofDay.LastOrDefault(one => one with { Number = 0 } == entry) : ofDay.LastOrDefault();
        return last is not null && last with { Number = 0 } == entry ? last : null;
    }

    private static JournalFault? FaultOf(JournalEntry entry, IEnumerable<JournalEntry> others, DateOnly? today, SeasonCalendar calendar)
    {
        if (entry.On > today)
            return new($"{Day(entry.On)} is after today, {Day(today.Value)}; the journal takes what has been done or seen.", IsOfDay: true);
        if (entry.On < today?.AddYears(-OldestYears))
            return new($"{Day(entry.On)} is more than {OldestYears} years ago; is the year right?", IsOfDay: true);
        var same = others.Where(other => other.Site == entry.Site && other.Planting == entry.Planting && other.Number != entry.Number);
        return entry switch
        {
            StageEntry stage => StageFault(stage, same.OfType<StageEntry>(), calendar),
            SprayEntry spray => SprayFault(spray, same.OfType<SprayEntry>()),
            ScoutEntry scout when scout.Shoots < 1 || scout.Curled < 0 || scout.Curled > scout.Shoots => new($"{scout.Curled} curled "
                + $"shoots cannot be among {scout.Shoots}; count the curled ones among those looked at."),
            ScoutEntry { Shoots: > MostShoots } => new($"{MostShoots} shoots are the most that one entry takes; is the number right?"),
            ShelterEntry shelter => ShelterFault(shelter, same.OfType<ShelterEntry>(), calendar),
            LeafFallEntry { FallenPct: not (>= 0 and <= 100) } => new($"The share of leaves down is a percentage, 0 to 100."),
            ScoutEntry { Symptom: not null, Curled: 0 } =>
                new($"A symptom was named but no shoot is curled; leave the symptom out, or count the shoots that have it."),
            _ => null,
        };
    }

    /// <summary>Takes entries one after the other; those that something speaks against are left out with a sentence.</summary>
    /// <param name="entries">Entries in the order in which they were written.</param>
    /// <param name="calendar">The seasons of the place.</param>
    /// <param name="onFinding">Told a sentence for each one left out.</param>
    public static IReadOnlyList<JournalEntry> Sound(
        IEnumerable<JournalEntry> entries,
        SeasonCalendar calendar,
        Action<Sentence> onFinding)
    {
        List<JournalEntry> sound = [];
        foreach (var entry in entries)
        {
            if (FaultOf(entry, sound, null, calendar) is { } fault)
                onFinding(
                    $"Journal entry {entry.Number} on {new Name(entry.Planting)} is left out. {fault.Whole}");
            else
                sound.Add(entry);
        }

        return sound;
    }

    /// <summary>Entries of sites and plantings that the garden does not have, a sentence for each of those.</summary>
    /// <param name="entries">Entries that hold.</param>
    /// <param name="sites">All sites of the garden.</param>
    public static IEnumerable<Sentence> Strangers(IEnumerable<JournalEntry> entries, IReadOnlyCollection<Site> sites)
    {
        var known = sites.SelectMany(site => site.Plantings.Select(planting => (site.Id, planting.Id))).ToHashSet();
        return entries
            .Select(entry => (entry.Site, entry.Planting))
            .Where(place => !known.Contains(place))
            .Distinct()
            .Select(place => (Sentence)($"What the journal says of {new Name($"{place.Site}/{place.Planting}")} does not count: the garden "
                + $"file does not have it. If it was renamed, give it back that id; its name may be any."));
    }

    private static JournalFault? StageFault(StageEntry entry, IEnumerable<StageEntry> others, SeasonCalendar calendar)
    {
        if (!BudStage.TryFrom(entry.Code, out var stage))
        {
            var near = Sentence.Joined(
                ", ",
                BudStage
                    .All.OrderBy(one => Math.Abs(one.Code - entry.Code))
                    .Take(3)
                    .OrderBy(one => one.Code)
                    .Select(one => Sentence.Of($"{one} ({one.Meaning})")));
            return new($"Stone fruit has no BBCH code {entry.Code:00}; near it are {near}.");
        }

        if (entry.Code == 99)
            return new($"BBCH 99 is harvested fruit and says nothing of the tree; after picking a tree is at 91 or later.");
        foreach (var other in others)
        {
            if (!BudStage.TryFrom(other.Code, out var seen) || !SameSpring(entry.On, other.On, calendar))
                continue;
            // What was said of the same day before stands before it.
            var backwards = other.On <= entry.On ? IsBeyond(seen, stage) : IsBeyond(stage, seen);
            if (backwards)
                return new(
                    $"Stage {new Name(stage.ToString())} on {Day(entry.On)} would run backwards: "
                        + $"entry {other.Number} has {new Name(seen.ToString())} on {Day(other.On)}.",
                    $"If that one is wrong, add this one with --corrects {other.Number}.",
                    other.Number);
        }

        return null;
    }

    /// <summary>
    /// A stage has another one behind it. A tree that flowers is dormant no more; else leaf buds and flowers go their own ways.
    /// </summary>
    private static bool IsBeyond(BudStage one, BudStage other) => one.Code > other.Code
        && (Track(one) == Track(other) || (other == BudStage.Dormant && one.Code is > 50 and < 90));

    /// <summary>The time at which a spray ended is one that the clock has shown.</summary>
    private static JournalFault? TimeFault(JournalEntry entry, DateTimeOffset now, TimeZoneInfo zone)
    {
        if (entry is not SprayEntry { At: { } at } spray)
            return null;
        var (shown, clock) = (spray.On.ToDateTime(at), new Name(at.ToString("HH:mm", CultureInfo.InvariantCulture)));
        return zone.IsInvalidTime(shown)
            ? new($"There was no {clock} on {Day(spray.On)}: the clocks went forward then.", IsOfDay: true)
            : TimeZoneInfo.ConvertTimeToUtc(shown, zone) > now.UtcDateTime + ClocksApart
                ? new($"{clock} is still to come today; the journal takes what has been done or seen.", IsOfDay: true)
                : null;
    }

    /// <summary>A figure with too many noughts would stand in the copper ledger for years.</summary>
    private static JournalFault? VolumeFault(JournalEntry entry, Site site) =>
        entry is SprayEntry spray
        && site.Plantings.FirstOrDefault(one => one.Id == spray.Planting) is { SprayVolumeL: { } usual }
        && spray.VolumeL > MostTimesUsual * usual
            ? new(
                $"{new Figure(site.Units.Volume(spray.VolumeL))} is more than {MostTimesUsual} times the usual "
                    + $"{new Figure(site.Units.Volume(usual))} of {new Name(spray.Planting)}; is the number right? "
                    + $"If it is, correct spray_volume in the garden file first.")
            : null;

    private static JournalFault? SprayFault(SprayEntry entry, IEnumerable<SprayEntry> others) =>
        others.FirstOrDefault(other => other.On == entry.On && other.Product == entry.Product) is { } twin
            ? new(
                $"{new Name(entry.Product)} on {new Name(entry.Planting)} is already written down for {Day(entry.On)} as entry "
                    + $"{twin.Number}.",
                $"A second pass on one day: correct that entry's volume with --corrects {twin.Number}.",
                twin.Number)
            : null;

    /// <summary>
    /// On follows off and off follows on; that the first entry takes it off may be a season that began before the journal. On counts for
    /// its season, and is said anew in the next.
    /// </summary>
    private static JournalFault? ShelterFault(ShelterEntry entry, IEnumerable<ShelterEntry> others, SeasonCalendar calendar)
    {
        var before = others.Where(other => other.On <= entry.On).OrderBy(other => other.On).ThenBy(other => other.Number).LastOrDefault();
        return before is { } last && last.IsOn == entry.IsOn && (!entry.IsOn || calendar.SeasonOf(last.On) == calendar.SeasonOf(entry.On))
            ? new(
                last.IsOn
                    ? (Sentence)$"The shelter on {new Name(entry.Planting)} is on already since {Day(last.On)}, by entry {last.Number}."
                    : $"The shelter on {new Name(entry.Planting)} is off already since {Day(last.On)}, by entry {last.Number}.",
                $"If that day is wrong, add this one with --corrects {last.Number}.",
                last.Number)
            : null;
    }

    /// <summary>Leaf buds and shoots, flowers and fruit, leaf fall: each only goes forward.</summary>
    private static int Track(BudStage stage) => stage.Code switch
    {
        < 50 => 0,
        < 90 => 1,
        _ => 2,
    };

    private static bool SameSpring(DateOnly one, DateOnly other, SeasonCalendar calendar) => calendar.SeasonOf(one) is { } season
        ? season.Contains(other)
        : Math.Abs(one.DayNumber - other.DayNumber) < DaysOfOneSpring;

    private static LocalTime Day(DateOnly day) => LocalTime.Of(day, TimeForm.Written);
}
