namespace BackyardSentinel.Commands.SetUp;

/// <summary>Questions and answers, in a terminal or from a pipe. Every question has an answer that an empty line gives.</summary>
/// <param name="input">Where answers come from; once it has ended, every question gets its usual answer.</param>
/// <param name="output">Where questions go.</param>
internal sealed class Dialogue(TextReader input, TextWriter output)
{
    /// <summary>An answer understood, or why not, a sentence part.</summary>
    public readonly record struct Reading<T>(T Value, string? Fault = null);

    /// <summary>Says something.</summary>
    public void Say(string text) => output.Write(text + "\n");

    /// <summary>Asks until the answer can be understood.</summary>
    /// <param name="question">The question.</param>
    /// <param name="usual">The answer that an empty line gives.</param>
    /// <param name="read">Understands an answer.</param>
    /// <param name="isSecret">The answer is not shown again.</param>
    /// <exception cref="CommandProblemException">The answers have ended, and the usual one does not do.</exception>
    public T Ask<T>(string question, string usual, Func<string, Reading<T>> read, bool isSecret = false)
    {
        while (true)
        {
            output.Write($"{question} [{usual}]: ");
            output.Flush();
            var line = input.ReadLine();
            // Who reads the answers of a pipe sees them beside their questions.
            if (line is null || Console.IsInputRedirected)
                output.Write(isSecret ? "…\n" : $"{line}\n");
            var answer = read(line?.Trim() is { Length: > 0 } given ? given : usual);
            if (answer.Fault is null)
                return answer.Value;
            output.Write($"  {answer.Fault}.\n");
            if (line is null)
                throw new CommandProblemException($"The answers ended at the question \"{question}\", to which the usual one does not do.");
        }
    }

    /// <summary>Asks for a yes or a no.</summary>
    public bool Ask(string question, bool usual) => Ask(question, usual ? "yes" : "no", answer => answer.ToLowerInvariant() switch
    {
        "yes" or "y" => new Reading<bool>(true),
        "no" or "n" => new Reading<bool>(false),
        _ => new Reading<bool>(false, $"\"{answer}\" is neither yes nor no"),
    });

    /// <summary>Asks for one of a few words, or the beginning of one.</summary>
    public string Ask(string question, string usual, IReadOnlyList<string> words) => Ask(question, usual, answer =>
        words.Where(word => word.StartsWith(answer, StringComparison.OrdinalIgnoreCase)).ToList() is [var word, ..]
            ? new Reading<string>(word)
            : new Reading<string>("", $"\"{answer}\" is not one of {string.Join(", ", words)}"));

    /// <summary>Asks for a text; <c>null</c> is the answer <c>none</c>.</summary>
    /// <param name="question">The question.</param>
    /// <param name="usual">The answer that an empty line gives; <c>none</c> where there is none.</param>
    /// <param name="fault">Says why a text does not do, a sentence part; <c>null</c>: it does.</param>
    /// <param name="isSecret">The answer is not shown again.</param>
    public string? AskText(string question, string usual, Func<string, string?>? fault = null, bool isSecret = false) => Ask(
        question,
        usual,
        answer => answer == "none" ? new Reading<string?>(null)
            : new Reading<string?>(answer, answer.Any(char.IsControl) ? "Control characters cannot be in it" : fault?.Invoke(answer)),
        isSecret);
}
