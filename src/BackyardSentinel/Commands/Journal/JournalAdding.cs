using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Storage;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Journal;

/// <summary>Adds one entry to the journal after checking it against the garden and against what is written already.</summary>
internal sealed class JournalAdding(GardenFile garden, JournalPlace place, DateTimeOffset now)
{
    private const string NobodyLooks =
        "the entry would lie where nobody reads it. Is --garden the file that the service runs with? If it is, start 'run' once, "
            + "or add --new to begin this store with the entry.";

    private string Store => Path.GetFullPath(garden.Store.Path);

    /// <summary>Adds the entry, or with <paramref name="dryRun"/> says what would be added.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="corrects">The entry whose place it takes.</param>
    /// <param name="begin">The store may be one that no service has used yet.</param>
    /// <param name="dryRun">Nothing is written.</param>
    /// <param name="output">Where to say it.</param>
    /// <exception cref="CommandProblemException">Something speaks against it.</exception>
    public int Add(JournalEntry entry, long? corrects, bool begin, bool dryRun, TextWriter output)
    {
        if (JournalCheck.FaultOfNote(entry.Note) is { } tooLong)
            throw new CommandProblemException(tooLong);
        var hasStore = File.Exists(garden.Store.Path);
        if (!hasStore && !begin)
            throw new CommandProblemException($"There is no store {Store}: {NobodyLooks}");
        using var book = hasStore || !dryRun ? JournalBook.Open(garden.Store.Path) : null;
        if (!begin && !book!.IsInUse())
            throw new CommandProblemException($"No service has ever used the store {Store}: {NobodyLooks}");
        var standing = JournalRow.Standing(book?.Rows() ?? []);
        if (corrects is { } number)
        {
            var replaced = book is null ? throw None(number) : Standing(book, number);
            standing = [.. standing.Where(one => one.Number != replaced.Number)];
        }

        if (corrects is null && JournalCheck.SaidAlready(entry, standing) is { } there)
        {
            output.WriteLine($"It stands there already: {JournalText.Line(there, garden)}");
            return ExitCode.Done;
        }

        var site = garden.Sites.First(one => one.Id == place.Site);
        if (JournalCheck.Against(entry, standing, now, site) is { } fault)
            throw new CommandProblemException(fault.ToString());
        if (dryRun)
        {
            output.WriteLine($"Would write: {JournalText.Words(entry, garden)}");
            return ExitCode.Done;
        }

        var got = book!.Add(entry, now, corrects);
        output.WriteLine(
            $"Written: {JournalText.Line(entry with { Number = got }, garden)}"
                + $"{(corrects is { } old ? string.Create(CultureInfo.InvariantCulture, $"  (in place of {old})") : "")}");
        output.WriteLine($"  in {Store}");
        foreach (var sentence in JournalFollows.Of(entry, garden.Products, site.Zone))
            output.WriteLine(sentence);
        if (entry is SprayEntry { DosePerL: { } dose } spray && FarFrom(spray.Product, dose) is { } times)
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"This dose is {times:0.###} times that of the garden file. If it is a slip, write it again with --corrects {got}."));
        return ExitCode.Done;
    }

    /// <summary>How many times the product's own a dose is, where that is ten or more, or a tenth or less (assumed).</summary>
    private double? FarFrom(string product, double dose) =>
        garden.Products.FirstOrDefault(one => one.Id == product)?.DosePerL is > 0 and var usual && dose / usual is >= 10 or <= 0.1
            ? dose / usual
            : null;

    /// <summary>The product of that id.</summary>
    /// <exception cref="CommandProblemException">There is none.</exception>
    public static SprayProduct Product(GardenFile garden, string id) =>
        garden.Products.FirstOrDefault(product => product.Id == id)
        ?? throw new CommandProblemException(JournalCheck.NoProduct(id, garden.Products).Text);

    /// <summary>The standing entry of a number.</summary>
    /// <exception cref="CommandProblemException">There is none.</exception>
    public static JournalEntry Standing(JournalBook book, long number) =>
        JournalRow.Standing(book.Rows()).FirstOrDefault(entry => entry.Number == number)
            ?? throw None(number);

    private static CommandProblemException None(long number) =>
        new(
            string.Create(
                CultureInfo.InvariantCulture,
                $"The journal has no entry {number} that holds; 'journal list' shows those that do."));
}
