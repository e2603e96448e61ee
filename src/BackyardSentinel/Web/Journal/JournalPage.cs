using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Web.Journal;

/// <summary>Puts the journal and its forms into words.</summary>
internal static class JournalPage
{
    /// <summary>So many lines are shown at first.</summary>
    private const int ShownLines = 20;

    /// <summary>A form, empty or with what came back.</summary>
    /// <param name="scene">The garden.</param>
    /// <param name="form">Which form.</param>
    /// <param name="values">What stands in it.</param>
    /// <param name="faults">What is wrong with it.</param>
    /// <param name="all">All lines of the journal are shown.</param>
    public static JournalView Form(JournalScene scene, JournalForm form, FormValues values, FormFaults faults, bool all)
    {
        var missing = form.Missing(scene);
        var mayWrite = scene.State.Leaf.MayWrite && missing is null;
        IReadOnlyList<Question> questions = mayWrite ? form.Ask(scene, values, faults) : [];
        return Page(
            scene,
            scene.Say(form.Kind),
            [.. missing is not null ? [missing] : form.Lead(scene), .. scene.State.Leaf.MayWrite ? [] : new[] { scene.Say("reader") }],
            form,
            mayWrite ? new FormView(scene.Visit.Link(form.Path), values.One(JournalForm.AsOf), questions, FormFaults.In(questions)) : null,
            null,
            all);
    }

    /// <summary>What was written down: that it was, what follows from it, and the way back.</summary>
    /// <param name="scene">The garden, with the new lines in its journal.</param>
    /// <param name="written">The new lines.</param>
    public static JournalView Written(JournalScene scene, IReadOnlyList<JournalRow> written)
    {
        var entries = written.Select(row => row.Entry!).ToList();
        var (cautions, follows) = JournalAfter.Of(scene, entries);
        return Page(
            scene,
            Headline(scene, entries),
            [],
            null,
            null,
            new DoneView(
                scene.Say("written", ("time", Clock(scene, written[0].WrittenUs)), ("day", Day(scene, entries[0].On))),
                scene.Say("undo"),
                scene.Visit.Link(JournalForms.TakeBackPath),
                Numbers(written),
                cautions,
                follows,
                Links(scene)),
            all: false);
    }

    /// <summary>What was taken back, and the way to have it again.</summary>
    /// <param name="scene">The garden.</param>
    /// <param name="gone">The lines that were taken back.</param>
    public static JournalView TakenBack(JournalScene scene, IReadOnlyList<JournalRow> gone) => Page(
        scene,
        scene.Say("taken", ("what", Headline(scene, [.. gone.Select(row => row.Entry!)]))),
        [],
        null,
        null,
        new DoneView(
            scene.Say("taken.told"),
            scene.Say("put-back"),
            scene.Visit.Link(JournalForms.PutBackPath),
            Numbers(gone),
            [],
            [scene.Say("taken.stays")],
            Links(scene)),
        all: false);

    private static string Day(JournalScene scene, DateOnly day) =>
        EntryWords.IsOfThisYear(day, scene.Today) ? scene.Visit.Words.Date(day) : scene.Visit.Words.DateOfYear(day);

    private static JournalView Page(
        JournalScene scene, string headline, IReadOnlyList<string> lead, JournalForm? form, FormView? view, DoneView? done, bool all)
    {
        var lines = EntryWords.Lines(scene.Visit, scene.Rows, scene.Today);
        var (path, words) = (form?.Path ?? JournalForms.Path, scene.Visit.Words);
        return new JournalView(
            scene.State.Leaf,
            headline,
            [.. JournalForms.All.Select(one => (words.Say("journal.tab." + one.Kind), scene.Visit.Link(one.Path), one == form))],
            lead,
            view,
            done,
            all ? lines : [.. lines.Take(ShownLines)],
            scene.Visit.Link(JournalForms.TakeBackPath),
            all || lines.Count <= ShownLines ? null : scene.Visit.Link(path + "?all=1"));
    }

    private static string Headline(JournalScene scene, IReadOnlyList<JournalEntry> entries)
    {
        var text = string.Join("; ", entries.Select(entry => EntryWords.Of(scene.Visit, entry)));
        return char.ToUpperInvariant(text[0]) + text[1..];
    }

    private static string Clock(JournalScene scene, long writtenUs) =>
        scene.Visit.Words.Moment(StoredTime.ToMoment(writtenUs), scene.State.Now);

    private static IReadOnlyList<string> Numbers(IReadOnlyList<JournalRow> rows) =>
        [.. rows.Select(row => row.Number.ToString(CultureInfo.InvariantCulture))];

    private static IReadOnlyList<(string, string)> Links(JournalScene scene) =>
    [
        (scene.Say("to-now"), scene.Visit.Link(Leaves.PathOf(Chapter.Now))),
        (scene.Say("another"), scene.Visit.Link(JournalForms.Path)),
        (scene.Visit.Words.Say("contents.spraying"), scene.Visit.Link(Leaves.PathOf(Chapter.Spraying))),
    ];
}
