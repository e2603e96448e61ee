using System.Globalization;
using BackyardSentinel.Garden;
using BackyardSentinel.Scouting;
using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Journal;

/// <summary>Did you find curl?</summary>
internal sealed class ScoutForm : JournalForm
{
    private const string Worst = "worst", None = "none", Shoots = "shoots", Curled = "curled", Usual = "20";

    /// <inheritdoc/>
    public override string Kind => ScoutEntry.Word;

    /// <inheritdoc/>
    protected override string Main => Curled;

    /// <inheritdoc/>
    public override IReadOnlyList<string> Lead(JournalScene scene) =>
    [
        .. scene.State.Looks.Select(look => scene.Say(
            "scout.due",
            ("name", scene.Site.Called(look.Planting)),
            ("from", scene.Visit.Words.Date(look.From)),
            ("to", scene.Visit.Words.Date(look.To)))),
        scene.Visit.Words.Say(ScoutingAdvice.HowToLook),
    ];

    /// <inheritdoc/>
    protected override IEnumerable<string> Due(JournalScene scene) =>
        scene.State.Looks.OrderBy(look => look.From).Select(look => look.Planting);

    /// <inheritdoc/>
    protected override void Fill(JournalScene scene, FormValues values) => values.Set(Shoots, Usual);

    /// <inheritdoc/>
    protected override IEnumerable<Question> AskWhat(JournalScene scene, FormValues values, FormFaults faults) =>
    [
        new ChoiceQuestion(
            Worst,
            scene.Say("scout.worst"),
            null,
            faults.Of(Worst),
            IsMany: false,
            [
                .. SymptomWords.All.Prepend(None).Select(word => new Choice(
                    word, scene.Say("scout." + word), scene.Say($"scout.{word}.looks"), values.Has(Worst, word), LeafDrawing.Of(word))),
            ]),
        new TextQuestion(Shoots, scene.Say("scout.shoots"), null, faults.Of(Shoots), values.One(Shoots), "numeric"),
        new TextQuestion(
            Curled, scene.Say("scout.curled.count"), scene.Say("scout.curled.hint"), faults.Of(Curled), values.One(Curled), "numeric"),
    ];

    /// <inheritdoc/>
    protected override JournalEntry? ReadWhat(JournalScene scene, FormValues values, FormFaults faults, Planting tree, DateOnly on)
    {
        var worst = values.One(Worst);
        var symptom = SymptomWords.Of(worst);
        if (symptom is null && worst != None)
            faults.Add(Worst, scene.Say("scout.worst.missing"));
        var shoots = Whole(values.One(Shoots));
        if (shoots is null)
            faults.Add(Shoots, scene.Say("scout.shoots.wrong", ("such", Usual)));
        // Who found none has counted none.
        var text = values.One(Curled);
        var curled = text.Length == 0 && worst == None ? 0 : Whole(text);
        if (curled is null)
            faults.Add(Curled, scene.Say("scout.curled.wrong"));
        else if (worst == None && curled > 0)
            faults.Add(Worst, scene.Say("scout.none-but", ("count", scene.Visit.Words.Number(curled.Value))));
        return faults.Any ? null : new ScoutEntry(0, scene.Site.Id, tree.Id, on, shoots!.Value, curled!.Value, symptom);
    }

    private static int? Whole(string text) => int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var number)
        ? number
        : null;
}
