namespace BackyardSentinel.Web.Journal;

/// <summary>The page Journal, put into words: a form, or what was written with one, and the journal so far.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Headline">Its question, or what was written down.</param>
/// <param name="Tabs">The forms: name, path, and whether it is this one.</param>
/// <param name="Lead">What is said above the form.</param>
/// <param name="Form">The form; <c>null</c>: nothing can be written here.</param>
/// <param name="Done">What has just been done; <c>null</c>: nothing.</param>
/// <param name="Lines">The journal, the newest first.</param>
/// <param name="TakeBackPath">Where a line is taken back.</param>
/// <param name="AllPath">Where all of it is shown; <c>null</c>: it is.</param>
public sealed record JournalView(
    Leaf Leaf,
    string Headline,
    IReadOnlyList<(string Name, string Path, bool IsCurrent)> Tabs,
    IReadOnlyList<string> Lead,
    FormView? Form,
    DoneView? Done,
    IReadOnlyList<WrittenLine> Lines,
    string TakeBackPath,
    string? AllPath);

/// <summary>A form.</summary>
/// <param name="Path">Where it is sent.</param>
/// <param name="AsOf">The day that is today in it.</param>
/// <param name="Questions">What it asks.</param>
/// <param name="Faults">What is wrong with the answers.</param>
public sealed record FormView(string Path, string AsOf, IReadOnlyList<Question> Questions, IReadOnlyList<FormFault> Faults);

/// <summary>What has just been written down or taken back.</summary>
/// <param name="Told">That it was, and when.</param>
/// <param name="Undo">The button that takes it back again.</param>
/// <param name="UndoPath">Where that is sent.</param>
/// <param name="Numbers">The lines that it is about.</param>
/// <param name="Cautions">Cautions, which stand before figures.</param>
/// <param name="Follows">What follows from it.</param>
/// <param name="Links">Where to go on: words and path.</param>
public sealed record DoneView(
    string Told,
    string Undo,
    string UndoPath,
    IReadOnlyList<string> Numbers,
    IReadOnlyList<string> Cautions,
    IReadOnlyList<string> Follows,
    IReadOnlyList<(string Name, string Path)> Links);

/// <summary>One line of the journal.</summary>
/// <param name="Number">Its number.</param>
/// <param name="Day">Its day.</param>
/// <param name="What">The planting, and what was done or seen.</param>
/// <param name="Gone">Why it no longer holds; <c>null</c>: it does.</param>
/// <param name="TakeBack">The name of the button that takes it back, whole.</param>
public sealed record WrittenLine(string Number, string Day, string What, string? Gone, string TakeBack);
