using System.Globalization;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Web.Journal;

/// <summary>How many of the leaves are down?</summary>
internal sealed class LeafFallForm : JournalForm
{
    private const string Fallen = "fallen";

    /// <summary>What an eye can tell, %.</summary>
    private static readonly int[] Shares = [25, 50, 75, 90, 100];

    /// <inheritdoc/>
    public override string Kind => LeafFallEntry.Word;

    /// <inheritdoc/>
    protected override bool IsForMany => true;

    /// <inheritdoc/>
    protected override string Main => Fallen;

    /// <inheritdoc/>
    protected override IEnumerable<Question> AskWhat(JournalScene scene, FormValues values, FormFaults faults) =>
    [
        new ChoiceQuestion(
            Fallen,
            scene.Say("leaf-fall.share"),
            null,
            faults.Of(Fallen),
            IsMany: false,
            [
                .. Shares.Select(
                    share => new Choice(Word(share), scene.Say("leaf-fall." + Word(share)), null, values.Has(Fallen, Word(share)))),
            ]),
    ];

    /// <inheritdoc/>
    protected override JournalEntry? ReadWhat(JournalScene scene, FormValues values, FormFaults faults, Planting tree, DateOnly on)
    {
        if (Shares.FirstOrDefault(share => values.Has(Fallen, Word(share))) is > 0 and var fallen)
            return new LeafFallEntry(0, scene.Site.Id, tree.Id, on, fallen);
        faults.Add(Fallen, scene.Say("leaf-fall.missing"));
        return null;
    }

    private static string Word(int share) => share.ToString(CultureInfo.InvariantCulture);
}
