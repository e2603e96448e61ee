using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Journal;

/// <summary>One question of a form, with what stands in it.</summary>
/// <param name="Name">The field's name.</param>
/// <param name="Legend">The question.</param>
/// <param name="Hint">How to answer; <c>null</c>: nothing to say.</param>
/// <param name="Fault">What is wrong with the answer; <c>null</c>: nothing.</param>
public abstract record Question(string Name, string Legend, string? Hint, string? Fault)
{
    /// <summary>The id of the field that a fault leads to.</summary>
    public abstract string FieldId { get; }
}

/// <summary>A question with answers to choose from.</summary>
/// <param name="Name">The field's name.</param>
/// <param name="Legend">The question.</param>
/// <param name="Hint">How to answer.</param>
/// <param name="Fault">What is wrong with the answer.</param>
/// <param name="IsMany">Several may be chosen.</param>
/// <param name="Choices">The answers, at least one.</param>
public sealed record ChoiceQuestion(string Name, string Legend, string? Hint, string? Fault, bool IsMany, IReadOnlyList<Choice> Choices)
    : Question(Name, Legend, Hint, Fault)
{
    /// <inheritdoc/>
    public override string FieldId => IdOf(Choices[0]);

    /// <summary>The id of an answer's field.</summary>
    public string IdOf(Choice choice) => $"{Name}-{choice.Value}";
}

/// <summary>One answer.</summary>
/// <param name="Value">As it is sent.</param>
/// <param name="Text">As it is read.</param>
/// <param name="Small">What belongs to it, in small type; <c>null</c>: nothing.</param>
/// <param name="IsChosen">It is chosen.</param>
/// <param name="Drawing">What it looks like; <c>null</c>: no drawing.</param>
/// <param name="Field">What is asked where it is chosen; <c>null</c>: nothing more.</param>
public sealed record Choice(
    string Value, string Text, string? Small, bool IsChosen, IHtmlContent? Drawing = null, TextQuestion? Field = null);

/// <summary>A question that is answered by typing.</summary>
/// <param name="Name">The field's name and id.</param>
/// <param name="Legend">The question.</param>
/// <param name="Hint">How to answer.</param>
/// <param name="Fault">What is wrong with the answer.</param>
/// <param name="Value">What stands in it.</param>
/// <param name="InputMode">The keys that a phone shows: <c>text</c>, <c>decimal</c> or <c>numeric</c>.</param>
public sealed record TextQuestion(string Name, string Legend, string? Hint, string? Fault, string Value, string InputMode = "text")
    : Question(Name, Legend, Hint, Fault)
{
    /// <inheritdoc/>
    public override string FieldId => Name;
}
