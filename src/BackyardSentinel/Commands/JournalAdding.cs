using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Phenology;
using BackyardSentinel.Scouting;
using BackyardSentinel.Spraying;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Commands;

/// <summary>Adds one entry to the journal after checking it against the garden and against what is written already.</summary>
internal sealed class JournalAdding(GardenFile garden, JournalPlace place, DateTimeOffset now)
{
    /// <summary>Adds the entry, or with <paramref name="dryRun"/> says what would be added.</summary>
    /// <exception cref="JournalProblemException">Something speaks against it.</exception>
    public int Add(JournalEntry entry, long? corrects, bool dryRun, TextWriter output)
    {
        if (entry is SprayEntry spray)
            Product(garden, spray.Product);
        using var book = JournalBook.Open(garden.Store.Path);
        var standing = JournalRow.Standing(book.Rows());
        if (corrects is { } number)
        {
            var replaced = Standing(book, number);
            standing = [.. standing.Where(one => one.Number != replaced.Number)];
        }

        var site = garden.Sites.First(one => one.Id == place.Site);
        if (JournalCheck.Fault(entry, standing, place.Today, new SeasonCalendar(site.LatitudeDeg)) is { } fault)
            throw new JournalProblemException(fault);
        if (dryRun)
        {
            output.WriteLine($"Would write: {JournalText.Words(entry, garden)}");
            return ExitCode.Done;
        }

        var got = book.Add(entry, now, corrects);
        output.WriteLine($"Written: {JournalText.Line(entry with { Number = got }, garden)}{(corrects is { } old ? string.Create(CultureInfo.InvariantCulture, $"  (in place of {old})") : "")}");
        if (entry is ScoutEntry scout)
        {
            output.WriteLine($"{scout.Curled} of {scout.Shoots} shoots: {ScoutingAdvice.BandOf(scout.Shoots, scout.Curled).ToString().ToLowerInvariant()}.");
            foreach (var advice in ScoutingAdvice.For(scout))
                output.WriteLine(advice);
        }

        return ExitCode.Done;
    }

    /// <summary>The product of that id.</summary>
    /// <exception cref="JournalProblemException">There is none.</exception>
    public static SprayProduct Product(GardenFile garden, string id)
    {
        if (garden.Products.FirstOrDefault(product => product.Id == id) is { } found)
            return ProductFigures.Of(found);
        var names = garden.Products.Count == 0 ? "none yet" : string.Join(", ", garden.Products.Select(product => product.Id));
        throw new JournalProblemException($"The garden file has no product {id}; it has {names}. Add the product with its label's figures first.");
    }

    /// <summary>The standing entry of a number.</summary>
    /// <exception cref="JournalProblemException">There is none.</exception>
    public static JournalEntry Standing(JournalBook book, long number) =>
        JournalRow.Standing(book.Rows()).FirstOrDefault(entry => entry.Number == number)
            ?? throw new JournalProblemException(string.Create(CultureInfo.InvariantCulture, $"The journal has no entry {number} that holds; 'journal list' shows those that do."));
}
