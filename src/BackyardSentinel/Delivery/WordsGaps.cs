using BackyardSentinel.Wording;

namespace BackyardSentinel.Delivery;

/// <summary>Something that a file of words lacks.</summary>
/// <param name="Heading">The part it belongs to.</param>
/// <param name="Name">The name of the word, or the English of the sentence; <c>null</c>: it is the whole part.</param>
/// <param name="BuiltIn">The built-in words that stand in.</param>
public sealed record WordsGap(string Heading, string? Name, string BuiltIn);

/// <summary>
/// In what a file of words and the built-in one differ without harm: for what it lacks the built-in words stand in, and what is asked for
/// nowhere is not used. Both come of an update of the program, and of a slip in a name.
/// </summary>
/// <param name="File">The file of words.</param>
/// <param name="Language">The language of the built-in words.</param>
/// <param name="Missing">What it lacks, in the order of the built-in file.</param>
/// <param name="Unused">What it has beyond, with its line.</param>
/// <param name="Of">How many words, sentences and parts the built-in file has.</param>
public sealed record WordsGaps(
    string File, string Language, IReadOnlyList<WordsGap> Missing, IReadOnlyList<(int Line, string Name)> Unused, int Of)
{
    /// <summary>The part that has what the program works out in sentences; a line in it may be its English alone.</summary>
    public const string SentencesHeading = "sentences";

    /// <summary>So many of what is not used are named; of a file from long ago there may be hundreds.</summary>
    private const int Named = 5;

    /// <summary>The file has but a few words, which are meant to replace the built-in ones: it is no translation with gaps.</summary>
    public bool IsOfChangesOnly => 2 * Missing.Count > Of;

    /// <summary>What there is to know of it, a sentence each; none for a file that is whole.</summary>
    public IReadOnlyList<Sentence> Says
    {
        get
        {
            List<Sentence> says = [];
            if (IsOfChangesOnly)
                says.Add($"{new Name(File)} has {Of - Missing.Count} of {Of} lines; for all others the built-in words stand in "
                    + $"(language: {new Name(Language)})");
            else if (Missing.Count == 1)
                says.Add($"{new Name(File)} lacks {1} line, for which the built-in words stand in (language: {new Name(Language)}); "
                    + $"check shows what to add");
            else if (Missing.Count > 1)
                says.Add($"{new Name(File)} lacks {Missing.Count} lines, for which the built-in words stand in (language: "
                    + $"{new Name(Language)}); check shows what to add");
            if (Unused.Count > 0)
                says.Add($"{new Name(File)} has what is asked for nowhere and is not used: {Listed(Unused)}; spell its name as the "
                    + $"built-in file does, or take it out");
            return says;
        }
    }

    /// <summary>
    /// What to add at the end of the file, as it stands in the built-in one; empty where nothing is to be added.
    /// </summary>
    public string ToAdd => IsOfChangesOnly
        ? ""
        : string.Concat(Missing.GroupBy(gap => gap.Heading).Select(part =>
            $"--- {part.Key}\n{string.Concat(part.Select(gap => Line(part.Key, gap)))}"));

    private static Sentence Listed(IReadOnlyList<(int Line, string Name)> unused)
    {
        var first = Sentence.Joined(", ", unused.Take(Named).Select(one => (Sentence)$"{new Name($"'{one.Name}'")} in line {one.Line}"));
        return unused.Count > Named ? $"{first} and {unused.Count - Named} more" : first;
    }

    private static string Line(string heading, WordsGap gap) => gap.Name is null ? gap.BuiltIn.TrimEnd('\n') + "\n"
        : heading == SentencesHeading && gap.Name == gap.BuiltIn ? gap.Name + "\n"
        : $"{gap.Name} = {gap.BuiltIn}\n";
}
