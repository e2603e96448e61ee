using System.Globalization;

namespace BackyardSentinel.Configuration.Yaml;

/// <summary>Writes problems the way compilers do, so that editors can jump to them.</summary>
public static class ProblemRenderer
{
    /// <summary>How many errors are shown at once; the rest are counted.</summary>
    public const int Shown = 20;

    private const int LineWidth = 100;

    /// <summary>Writes the errors, at most <see cref="Shown"/>; notes only where there is no error to attend to first.</summary>
    public static void Write(IReadOnlyList<Problem> problems, TextWriter output)
    {
        ArgumentNullException.ThrowIfNull(problems);
        ArgumentNullException.ThrowIfNull(output);
        var errors = problems.Where(p => !p.IsNote).ToList();
        if (errors.Count > 0)
            WriteCapped(errors, "error", output);
        else
            WriteCapped([.. problems], "note", output);
    }

    private static void WriteCapped(List<Problem> problems, string word, TextWriter output)
    {
        foreach (var problem in problems.Take(Shown))
            WriteOne(problem, output);
        var hidden = problems.Count - Shown;
        if (hidden > 0)
            output.Write(string.Create(CultureInfo.InvariantCulture, $"and {hidden} more {word}{(hidden == 1 ? "" : "s")}\n"));
    }

    private static void WriteOne(Problem problem, TextWriter output)
    {
        var place = problem.Line > 0
            ? string.Create(CultureInfo.InvariantCulture, $"{problem.File}:{problem.Line}:{problem.Column}")
            : problem.File;
        output.Write($"{place}: {(problem.IsNote ? "note: " : "")}{problem.Message}\n");
        if (problem.SourceLine is { } source && !string.IsNullOrWhiteSpace(source))
            WriteSource(problem, source, output);
        if (problem.Expected is { } expected)
            output.Write($"  expected {expected}\n");
        if (problem.Suggestion is { } suggestion)
            output.Write($"  did you mean {ProblemList.Quote(suggestion)}?\n");
    }

    private static void WriteSource(Problem problem, string source, TextWriter output)
    {
        var caret = Math.Clamp(problem.Column - 1, 0, source.Length);
        // A very long line is shown from shortly before the caret.
        var from = caret > LineWidth - 20 ? caret - 40 : 0;
        var text = ProblemList.Printable(source[from..Math.Min(source.Length, from + LineWidth)]);
        var number = problem.Line.ToString(CultureInfo.InvariantCulture);
        // Tabs are kept before the caret so that it lands under its column at any tab width.
        var lead = string.Concat(text[..(caret - from)].Select(c => c == '\t' ? '\t' : ' '));
        output.Write($"  {number} | {text}\n");
        output.Write($"  {new string(' ', number.Length)} | {lead}^\n");
    }
}
