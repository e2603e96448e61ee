using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Watching;
using BackyardSentinel.Web.Now;

namespace BackyardSentinel.Web.Journal;

/// <summary>One form of the journal: what it asks, what is preset, and what its answers say.</summary>
internal abstract class JournalForm
{
    /// <summary>The question that each form begins with: which plantings.</summary>
    public const string Trees = "tree";

    /// <summary>The hidden field with the day that was today when the form was shown.</summary>
    public const string AsOf = "as-of";

    private const string Day = "day", Date = "date", Note = "note", Today = "today", Yesterday = "yesterday", Other = "other";

    /// <summary>The word of the entries that it writes.</summary>
    public abstract string Kind { get; }

    /// <summary>Where it is.</summary>
    public string Path => "/journal/" + Kind;

    /// <summary>Several plantings are written down at once.</summary>
    protected virtual bool IsForMany => false;

    /// <summary>The question to which a fault of the whole entry belongs.</summary>
    protected abstract string Main { get; }

    /// <summary>What is said above it.</summary>
    public virtual IReadOnlyList<string> Lead(JournalScene scene) => [scene.Say(Kind + ".lead")];

    /// <summary>Why nothing can be written here; <c>null</c>: it can.</summary>
    public virtual string? Missing(JournalScene scene) => scene.Site.Plantings.Count == 0
        ? scene.Say("no-trees", ("site", scene.Site.Id))
        : null;

    /// <summary>What is preset: today, and the tree that is due or the only one. What was seen never is.</summary>
    public FormValues Preset(JournalScene scene)
    {
        var values = new FormValues().Set(Day, Today).Set(AsOf, scene.Today.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));
        IReadOnlyList<string> due = scene.Site.Plantings is [var only] ? [only.Id] : [.. Due(scene)];
        values.Set(Trees, IsForMany ? due : [.. due.Take(1)]);
        Fill(scene, values);
        return values;
    }

    /// <summary>The questions, with what stands in them and what is wrong with it.</summary>
    public IReadOnlyList<Question> Ask(JournalScene scene, FormValues values, FormFaults faults) =>
    [
        AskTrees(scene, values, faults),
        .. AskWhat(scene, values, faults),
        AskDay(scene, values, faults),
        new TextQuestion(Note, scene.Say("note"), scene.Say("note.hint"), faults.Of(Note), values.One(Note)),
    ];

    /// <summary>Reads the answers.</summary>
    /// <param name="scene">What the form is made from.</param>
    /// <param name="values">The answers.</param>
    /// <param name="faults">Gets what is wrong with them; then nothing may be written.</param>
    public IReadOnlyList<JournalEntry> Read(JournalScene scene, FormValues values, FormFaults faults)
    {
        var entries = Told(scene, values, faults);
        foreach (var entry in entries)
        {
            if (JournalCheck.Against(entry, scene.Standing, scene.State.Now, scene.Site) is { } fault)
                faults.Add(
                    fault.IsOfDay ? values.One(Day) == Other ? Date : Day : Main,
                    fault.Other is null ? scene.Visit.Words.Say(fault.What) : $"{scene.Visit.Words.Say(fault.What)} "
                        + $"{scene.Say("fault.other")}");
        }

        return faults.Any ? [] : entries;
    }

    /// <summary>What the answers say, whatever the journal says to it; empty where they are wrong in themselves.</summary>
    /// <inheritdoc cref="Read"/>
    public IReadOnlyList<JournalEntry> Told(JournalScene scene, FormValues values, FormFaults faults)
    {
        var trees = scene.Site.Plantings.Where(one => values.Has(Trees, one.Id)).ToList();
        if (trees.Count == 0)
            faults.Add(Trees, scene.Say("trees.missing"));
        var on = ReadDay(scene, values, faults);
        var note = values.One(Note);
        if (note.Length > JournalCheck.LongestNote)
            faults.Add(Note, scene.Say("note.long", ("most", scene.Visit.Words.Number(JournalCheck.LongestNote))));
        // Also where the trees are missing what else is wrong is told at once.
        List<JournalEntry> entries =
        [
            .. (trees.Count > 0 ? trees : scene.Site.Plantings.Take(1))
            .Select(tree => ReadWhat(scene, values, faults, tree, on ?? scene.Today))
            .OfType<JournalEntry>(),
        ];
        return faults.Any ? [] : [.. entries.Select(entry => entry with { Note = note.Length > 0 ? OneLine(note) : null })];
    }

    /// <summary>The plantings for which it is time.</summary>
    protected virtual IEnumerable<string> Due(JournalScene scene) => [];

    /// <summary>Presets more than trees and day.</summary>
    protected virtual void Fill(JournalScene scene, FormValues values)
    {
    }

    /// <summary>The questions between trees and day.</summary>
    protected abstract IEnumerable<Question> AskWhat(JournalScene scene, FormValues values, FormFaults faults);

    /// <summary>Reads the answers to them for one planting; <c>null</c>: something is wrong.</summary>
    protected abstract JournalEntry? ReadWhat(JournalScene scene, FormValues values, FormFaults faults, Planting tree, DateOnly on);

    /// <summary>What is asked of a planting that is chosen; <c>null</c>: nothing more.</summary>
    protected virtual TextQuestion? OfTree(JournalScene scene, FormValues values, FormFaults faults, Planting tree) => null;

    private ChoiceQuestion AskTrees(JournalScene scene, FormValues values, FormFaults faults) => new(
        Trees,
        scene.Say("trees"),
        null,
        faults.Of(Trees),
        IsForMany,
        [
            .. scene.Site.Plantings.Select(tree => new Choice(
                tree.Id,
                tree.Called,
                NowTree.Kind(scene.Visit, tree),
                values.Has(Trees, tree.Id),
                Field: OfTree(scene, values, faults, tree))),
        ]);

    private static ChoiceQuestion AskDay(JournalScene scene, FormValues values, FormFaults faults)
    {
        var today = ShownToday(scene, values);
        var (words, such) = (scene.Visit.Words, today.AddDays(-6));
        return new ChoiceQuestion(
            Day,
            scene.Say("day"),
            null,
            faults.Of(Day),
            IsMany: false,
            [
                new Choice(Today, scene.Say("day.today"), words.Date(today), values.Has(Day, Today)),
                new Choice(Yesterday, scene.Say("day.yesterday"), words.Date(today.AddDays(-1)), values.Has(Day, Yesterday)),
                new Choice(
                    Other,
                    scene.Say("day.other"),
                    null,
                    values.Has(Day, Other),
                    Field: new TextQuestion(
                        Date,
                        scene.Say("date"),
                        scene.Say("date.hint", ("short", Written(withYear: false)), ("long", Written(withYear: true))),
                        faults.Of(Date),
                        values.One(Date))),
            ]);

        string Written(bool withYear) => TypedDay.Written(such, scene.Units, withYear);
    }

    /// <summary>A form that was opened before midnight means the day that it showed.</summary>
    private static DateOnly ShownToday(JournalScene scene, FormValues values) =>
        DateOnly.TryParseExact(values.One(AsOf), "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var shown)
        && shown < scene.Today
        && shown > DateOnly.MinValue
            ? shown
            : scene.Today;

    private static DateOnly? ReadDay(JournalScene scene, FormValues values, FormFaults faults)
    {
        switch (values.One(Day))
        {
            case Yesterday:
                return ShownToday(scene, values).AddDays(-1);
            case Other:
                var text = values.One(Date);
                if (TypedDay.Of(text, scene.Units, scene.Today) is { } day)
                    return day;
                var such = TypedDay.Written(scene.Today.AddDays(-6), scene.Units, withYear: true);
                faults.Add(
                    Date,
                    text.Length == 0 ? scene.Say("date.missing", ("such", such)) : scene.Say("date.wrong", ("text", text), ("such", such)));
                return null;
            default:
                return ShownToday(scene, values);
        }
    }

    /// <summary>A note in one line; what would steer a terminal that shows it becomes a space.</summary>
    public static string OneLine(string text) => string.Concat(text.Select(letter => char.IsControl(letter) ? ' ' : letter)).Trim();
}
