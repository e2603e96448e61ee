using BackyardSentinel.Garden;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Journal;

/// <summary>What do the buds look like?</summary>
internal sealed class StageForm : JournalForm
{
    private const string Stage = "stage";

    /// <inheritdoc/>
    public override string Kind => StageEntry.Word;

    /// <inheritdoc/>
    protected override string Main => Stage;

    /// <inheritdoc/>
    protected override IEnumerable<string> Due(JournalScene scene) => scene.State.BudsDue;

    /// <inheritdoc/>
    protected override IEnumerable<Question> AskWhat(JournalScene scene, FormValues values, FormFaults faults) =>
    [
        new ChoiceQuestion(
            Stage,
            scene.Say("stage.most"),
            scene.Say("stage.most.hint"),
            faults.Of(Stage),
            IsMany: false,
            [
                .. BudStageNames.All.Select(name => new Choice(
                    name, scene.Say("stage." + name), scene.Say($"stage.{name}.looks"), values.Has(Stage, name), BudDrawing.Of(name))),
            ]),
    ];

    /// <inheritdoc/>
    protected override JournalEntry? ReadWhat(JournalScene scene, FormValues values, FormFaults faults, Planting tree, DateOnly on)
    {
        if (BudStageNames.CodeOf(values.One(Stage)) is { } code)
            return new StageEntry(0, scene.Site.Id, tree.Id, on, code);
        faults.Add(Stage, scene.Say("stage.missing"));
        return null;
    }
}
