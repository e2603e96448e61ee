using BackyardSentinel.Garden;

namespace BackyardSentinel.Web.Journal;

/// <summary>Is the rain shelter on or off?</summary>
internal sealed class ShelterForm : JournalForm
{
    private const string State = "state", On = "on", Off = "off";

    /// <inheritdoc/>
    public override string Kind => ShelterEntry.Word;

    /// <inheritdoc/>
    protected override bool IsForMany => true;

    /// <inheritdoc/>
    protected override string Main => State;

    /// <inheritdoc/>
    protected override IEnumerable<Question> AskWhat(JournalScene scene, FormValues values, FormFaults faults) =>
    [
        new ChoiceQuestion(
            State,
            scene.Say("shelter.state"),
            scene.Say("shelter.state.hint"),
            faults.Of(State),
            IsMany: false,
            [.. new[] { On, Off }.Select(word => new Choice(word, scene.Say("shelter." + word), null, values.Has(State, word)))]),
    ];

    /// <inheritdoc/>
    protected override JournalEntry? ReadWhat(JournalScene scene, FormValues values, FormFaults faults, Planting tree, DateOnly on)
    {
        if (values.One(State) is On or Off)
            return new ShelterEntry(0, scene.Site.Id, tree.Id, on, values.Has(State, On));
        faults.Add(State, scene.Say("shelter.missing"));
        return null;
    }
}
