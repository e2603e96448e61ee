namespace BackyardSentinel.Garden;

/// <summary>The words for symptom stages, as the journal writes them.</summary>
public static class SymptomWords
{
    private static readonly string[] Words = ["puckered", "curled", "white-bloom", "dropping"];

    /// <summary>All of them, in the order of the symptoms.</summary>
    public static IReadOnlyList<string> All => Words;

    /// <summary>The word of a symptom stage.</summary>
    public static string Word(this SymptomStage symptom) => Words[(int)symptom - 1];

    /// <summary>The symptom stage of a word, or <c>null</c>.</summary>
    public static SymptomStage? Of(string word) => Array.IndexOf(Words, word) is >= 0 and var index ? (SymptomStage)(index + 1) : null;
}
