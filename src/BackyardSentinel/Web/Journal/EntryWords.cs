using System.Globalization;
using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Web.Journal;

/// <summary>Puts journal entries into words.</summary>
internal static class EntryWords
{
    /// <summary>Days of so long ago are told with their year.</summary>
    private const int SameYearDays = 300;

    /// <summary>The planting, and what was done or seen on it.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="entry">The entry.</param>
    public static string Of(Visit visit, JournalEntry entry)
    {
        var (words, site) = (visit.Words, visit.Site);
        var what = entry switch
        {
            StageEntry stage =>
                Say("stage", ("stage", BudStage.TryFrom(stage.Code, out _) ? words.Say("stage." + stage.Code) : words.Number(stage.Code))),
            SprayEntry spray => Say(
                "spray",
                ("product", site.ProductCalled(spray.Product)),
                ("volume", words.Figure(words.Units.Volume(spray.VolumeL))),
                ("dose", Dose(words, site, spray))),
            ScoutEntry { Symptom: { } symptom } scout => Say(
                "scout",
                ("curled", words.Number(scout.Curled)),
                ("shoots", words.Number(scout.Shoots)),
                ("symptom", words.Say("journal.entry.symptom." + symptom.Word()))),
            ScoutEntry { Curled: 0 } none => Say("scout.none", ("shoots", words.Number(none.Shoots))),
            ScoutEntry plain => Say("scout.plain", ("curled", words.Number(plain.Curled)), ("shoots", words.Number(plain.Shoots))),
            PickEntry => Say("pick"),
            LeafFallEntry fall => Say("leaf-fall", ("percent", words.Number(fall.FallenPct))),
            ShelterEntry shelter => Say(shelter.IsOn ? "shelter.on" : "shelter.off"),
            _ => throw new System.Diagnostics.UnreachableException($"The entry {entry.Kind} has no words."),
        };
        return entry.Note is { Length: > 0 } note ? Say("note", ("what", what), ("note", note)) : what;

        string Say(string key, params ReadOnlySpan<(string, string)> values) =>
            words.Say("journal.entry." + key, [("name", site.Called(entry.Planting)), .. values]);
    }

    /// <summary>A day that needs no year to be told from another one.</summary>
    /// <param name="day">The day.</param>
    /// <param name="today">Today at the site.</param>
    public static bool IsOfThisYear(DateOnly day, DateOnly today) => Math.Abs(today.DayNumber - day.DayNumber) < SameYearDays;

    /// <summary>The journal of a site, the newest first; what was taken back or replaced says so.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="rows">The lines.</param>
    /// <param name="today">Today at the site.</param>
    public static IReadOnlyList<WrittenLine> Lines(Visit visit, IReadOnlyList<JournalRow> rows, DateOnly today)
    {
        var words = visit.Words;
        var takenBack = rows.Where(row => row.Withdraws is not null)
            .GroupBy(row => row.Withdraws!.Value)
            .ToDictionary(group => group.Key, group => group.First());
        var replaced = rows.Select(row => row.Corrects).OfType<long>().ToHashSet();
        return
        [
            .. rows.Where(row => row.Entry is { } entry && entry.Site == visit.Site.Id)
                .OrderByDescending(row => row.Entry!.On)
                .ThenByDescending(row => row.Number)
                .Select(row =>
                {
                    var what = Of(visit, row.Entry!);
                    var day = IsOfThisYear(row.Entry!.On, today) ? words.Day(row.Entry.On) : words.DateOfYear(row.Entry.On);
                    return new WrittenLine(
                        row.Number.ToString(CultureInfo.InvariantCulture),
                        day,
                        what,
                        takenBack.TryGetValue(row.Number, out var withdrawal)
                            ? words.Say(
                                "journal.taken-back",
                                (
                                    "day",
                                    words.Day(words.DayOf(StoredTime.ToMoment(withdrawal.WrittenUs)))))
                            : replaced.Contains(row.Number) ? words.Say("journal.replaced") : null,
                        words.Say("journal.take-back.whole", ("what", what), ("day", day)));
                }),
        ];
    }

    private static string Dose(PageWords words, Site site, SprayEntry spray) =>
        site.Products.FirstOrDefault(one => one.Id == spray.Product) is { } product && (spray.DosePerL ?? product.DosePerL) is { } dose
            ? words.Figure(words.Units.Dose(dose, product.Unit))
            : words.Say("not-known");
}
