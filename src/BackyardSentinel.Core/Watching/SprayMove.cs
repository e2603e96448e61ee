using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Watching;

/// <summary>A spray on another day than the journal has it, or one that it does not have: to ask what would have been.</summary>
/// <param name="On">The day asked about.</param>
/// <param name="InsteadOf">The day that the journal has; <c>null</c>: the spray is added.</param>
/// <param name="Sprays">The sprays as they would stand, one a planting or more.</param>
/// <param name="Journal">The whole journal as it would stand.</param>
public sealed record SprayMove(
    DateOnly On,
    DateOnly? InsteadOf,
    IReadOnlyList<SprayEntry> Sprays,
    IReadOnlyList<JournalEntry> Journal)
{
    /// <summary>Moves every spray of a day, or adds one to every planting; or says in a sentence why not.</summary>
    /// <param name="site">The site, with the garden's products.</param>
    /// <param name="journal">The entries that hold.</param>
    /// <param name="on">The day asked about.</param>
    /// <param name="insteadOf">The day of the sprays that are moved, with the time of day that they have; <c>null</c>: one is
    /// added.</param>
    /// <param name="product">The product meant; <c>null</c>: whichever was sprayed on that day, or the only one that gives cover.</param>
    /// <param name="move">The journal as it would stand.</param>
    /// <param name="reason">Why there is none.</param>
    public static bool TryMake(
        Site site,
        IReadOnlyList<JournalEntry> journal,
        DateOnly on,
        DateOnly? insteadOf,
        string? product,
        [NotNullWhen(true)] out SprayMove? move,
        [NotNullWhen(false)] out string? reason)
    {
        move = null;
        if (product is not null && site.Products.All(one => one.Id != product))
        {
            reason = JournalCheck.NoProduct(product, site.Products).Text;
            return false;
        }

        var sprays = insteadOf is { } day
            ? Moved(site, journal, day, on, product, out reason)
            : Added(site, journal, on, product, out reason);
        if (reason is not null)
            return false;
        List<JournalEntry> kept = [.. journal.Where(entry => sprays.All(spray => spray.Number != entry.Number))];
        if (journal.OfType<SprayEntry>().FirstOrDefault(entry => sprays.Any(spray => Twins(entry, spray))) is { } twin)
        {
            reason = $"The journal has {site.ProductCalled(twin.Product)} on {site.Called(twin.Planting)} on {Day(on)} as it is.";
            return false;
        }

        move = new SprayMove(on, insteadOf, sprays, [.. kept, .. sprays]);
        return true;
    }

    private static bool Twins(SprayEntry entry, SprayEntry spray) =>
        (entry.Site, entry.Planting, entry.Product, entry.On) == (spray.Site, spray.Planting, spray.Product, spray.On);

    private static List<SprayEntry> Moved(
        Site site, IReadOnlyList<JournalEntry> journal, DateOnly from, DateOnly to, string? product, out string? reason)
    {
        reason = null;
        var covering = journal
            .OfType<SprayEntry>()
            .Where(spray => spray.Site == site.Id && GivesCover(site, spray.Product) && (product is null || spray.Product == product))
            .ToList();
        var meant = covering.FindAll(spray => spray.On == from);
        if (meant.Count == 0)
        {
            var days = covering.Select(spray => Day(spray.On)).Distinct().Order(StringComparer.Ordinal).ToList();
            reason = $"The journal has no spray{(product is null ? "" : $" of {product}")} on {Day(from)} that gives cover; "
                + (days.Count == 0 ? "it has none at all." : $"it has some on {string.Join(", ", days)}.");
        }

        return [.. meant.Select(spray => spray with { On = to })];
    }

    private static List<SprayEntry> Added(Site site, IReadOnlyList<JournalEntry> journal, DateOnly on, string? product, out string? reason)
    {
        var covering = site.Products.Where(one => one.Active.GivesCover()).Select(one => one.Id).ToList();
        reason =
            covering.Count == 0 ? "The garden file has no product whose cover could be followed, such as a copper."
            : product is null && covering.Count > 1 ? $"Several products give cover ({string.Join(", ", covering)}); say which is meant."
            : product is not null && !covering.Contains(product)
                ? $"{site.ProductCalled(product)} leaves no cover that could be followed; {string.Join(", ", covering)} would."
            : null;
        if (reason is not null)
            return [];
        var number = journal.Select(entry => entry.Number).DefaultIfEmpty().Max();
        // How much was sprayed changes nothing about the cover.
        return [.. site.Plantings.Select(planting =>
            new SprayEntry(++number, site.Id, planting.Id, on, product ?? covering[0], SprayEntry.LeastVolumeL))];
    }

    private static bool GivesCover(Site site, string product) => site.Products.Any(one => one.Id == product && one.Active.GivesCover());

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
