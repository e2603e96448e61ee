namespace BackyardSentinel.Web.Journal;

/// <summary>What is wrong with the answers of a form, by question.</summary>
internal sealed class FormFaults
{
    private readonly List<(string Name, string Sentence)> _faults = [];

    /// <summary>Something is wrong.</summary>
    public bool Any => _faults.Count > 0;

    /// <summary>Something is wrong with an answer; the first thing said of a question counts.</summary>
    /// <param name="name">The question.</param>
    /// <param name="sentence">What, and what to do.</param>
    public void Add(string name, string sentence)
    {
        if (Of(name) is null)
            _faults.Add((name, sentence));
    }

    /// <summary>What is wrong with the answer to a question; <c>null</c>: nothing.</summary>
    /// <param name="name">The question.</param>
    public string? Of(string name) => _faults.Where(one => one.Name == name).Select(one => one.Sentence).FirstOrDefault();

    /// <summary>All of it in the order of the form, with the field that each leads to.</summary>
    /// <param name="questions">The form's questions.</param>
    public static IReadOnlyList<FormFault> In(IEnumerable<Question> questions) =>
    [
        .. questions
            .SelectMany(question => question is ChoiceQuestion choice
                ? choice.Choices.Select(one => one.Field).OfType<Question>().Prepend(question)
                : [question])
            .Where(question => question.Fault is not null)
            .Select(question => new FormFault(question.FieldId, question.Fault!)),
    ];
}

/// <summary>What is wrong, in the box above the form.</summary>
/// <param name="FieldId">The field that it leads to.</param>
/// <param name="Sentence">The sentence.</param>
public sealed record FormFault(string FieldId, string Sentence);
