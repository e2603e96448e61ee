using BackyardSentinel.Garden;
using BackyardSentinel.Spraying;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Web.Journal;

/// <summary>What follows from entries that were just written down.</summary>
internal static class JournalAfter
{
    /// <summary>Cautions first, and then what follows.</summary>
    /// <param name="scene">The garden, the journal with the new entries among it.</param>
    /// <param name="entries">The new entries.</param>
    public static (
        IReadOnlyList<string> Cautions, IReadOnlyList<string> Follows) Of(JournalScene scene, IReadOnlyList<JournalEntry> entries)
    {
        var follows = entries.SelectMany(entry => JournalFollows.Of(entry, scene.Site.Products, scene.Site.Zone)).Distinct()
            .Select(scene.Visit.Words.Say).ToList();
        var isSpray = entries.Any(entry => entry is SprayEntry);
        return (
            isSpray ? follows : [],
            [
                .. isSpray ? [] : follows,
                .. entries.OfType<SprayEntry>().SelectMany(spray => Of(scene, spray)).Distinct(),
                .. entries.Where(entry => entry is StageEntry or ShelterEntry).Select(entry => Judged(scene, entry)).Distinct(),
                .. entries.Any(entry => entry is StageEntry or SprayEntry or LeafFallEntry or ShelterEntry) && IsKnown(scene, entries)
                    ? new[] { scene.Say("after.next", ("plan", scene.State.Plan)) }
                    : [],
            ]);
    }

    private static IEnumerable<string> Of(JournalScene scene, SprayEntry spray)
    {
        if (scene.Site.Products.FirstOrDefault(one => one.Id == spray.Product) is not { } product)
            yield break;
        var words = scene.Visit.Words;
        var ledger = SitePlan.Ledger(scene.Site, scene.Standing);
        var name = scene.Site.Called(spray.Planting);
        if (product.Active.IsCopper())
        {
            var balance = ledger.Balance(spray.Planting, spray.On);
            var now = ledger.Applications.FirstOrDefault(one => one.Entry.Number == spray.Number)?.CopperG;
            yield return now is { } grams
                ? scene.Say(
                    "after.copper",
                    ("name", name),
                    ("now", words.Figure(words.Units.Mass(grams))),
                    ("season", words.Figure(words.Units.Mass(balance.SeasonG))),
                    ("seven", words.Figure(words.Units.Mass(balance.SevenYearG))))
                : scene.Say("after.copper.unknown", ("name", name));
            if (CopperBenchmark.IsOver(balance))
                yield return scene.Say(
                    "after.copper.over",
                    ("name", name),
                    ("amount", words.Figure(words.Units.MassPerArea(balance.SevenYearKgPerHa!.Value))));
        }

        if (product.Active.GivesCover())
            yield return scene.Say("after.cover", ("name", name), ("rain", words.Rain(product.WashOff.RecheckMm)));
        if (ledger.Allowance(product, spray.Planting, spray.On).ApplicationsLeft is { } left)
            yield return left == 0
                ? scene.Say("after.left.none", ("product", product.Name), ("name", name))
                : words.Count("journal.after.left", left, ("product", product.Name), ("name", name));
    }

    private static string Judged(JournalScene scene, JournalEntry entry) =>
        !scene.State.Known.Contains(entry.Number) || !scene.State.Judged.TryGetValue(entry.Planting, out var judged)
            ? scene.Say("after.soon")
            : scene.Say("after.level", ("name", scene.Site.Called(entry.Planting)), ("level", judged.Level), ("why", judged.Why));

    /// <summary>The service has taken them up already.</summary>
    private static bool IsKnown(JournalScene scene, IReadOnlyList<JournalEntry> entries) =>
        entries.All(entry => scene.State.Known.Contains(entry.Number));
}
