using BackyardSentinel.Garden;

namespace BackyardSentinel.Web.Journal;

/// <summary>Did you pick curled leaves?</summary>
internal sealed class PickForm : JournalForm
{
    /// <inheritdoc/>
    public override string Kind => PickEntry.Word;

    /// <inheritdoc/>
    protected override string Main => Trees;

    /// <inheritdoc/>
    protected override IEnumerable<string> Due(JournalScene scene) => scene.Standing
        .OfType<ScoutEntry>()
        .Where(one => one.Site == scene.Site.Id && one.Curled > 0)
        .OrderByDescending(one => one.On)
        .Select(one => one.Planting);

    /// <inheritdoc/>
    protected override IEnumerable<Question> AskWhat(JournalScene scene, FormValues values, FormFaults faults) => [];

    /// <inheritdoc/>
    protected override JournalEntry ReadWhat(JournalScene scene, FormValues values, FormFaults faults, Planting tree, DateOnly on) =>
        new PickEntry(0, scene.Site.Id, tree.Id, on);
}
