namespace BackyardSentinel.Web.Journal;

/// <summary>The forms of the journal.</summary>
internal static class JournalForms
{
    /// <summary>Where the journal is.</summary>
    public const string Path = "/journal";

    /// <summary>Where lines are taken back.</summary>
    public const string TakeBackPath = "/journal/take-back";

    /// <summary>Where lines that were taken back are written again.</summary>
    public const string PutBackPath = "/journal/put-back";

    /// <summary>All of them, in the order in which they are offered.</summary>
    public static IReadOnlyList<JournalForm> All { get; } =
        [new StageForm(), new SprayForm(), new ScoutForm(), new PickForm(), new LeafFallForm(), new ShelterForm()];
}
