using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Yaml;

/// <summary>One thing wrong, or worth knowing, in the garden file.</summary>
/// <param name="File">The file as the user named it.</param>
/// <param name="Line">Line, from 1; 0 where the file as a whole is meant.</param>
/// <param name="Column">Column, from 1; 0 where the file as a whole is meant.</param>
/// <param name="Message">What is wrong and why, as a sentence without the place.</param>
/// <param name="Expected">What would be right here.</param>
/// <param name="Suggestion">The nearest valid key or word.</param>
/// <param name="IsNote">The garden works all the same; the user should know.</param>
public sealed record Problem(
    string File,
    int Line,
    int Column,
    Sentence Message,
    Sentence? Expected = null,
    string? Suggestion = null,
    bool IsNote = false)
{
    /// <summary>The line of the file, with the value of a password key covered.</summary>
    public string? SourceLine { get; init; }
}
