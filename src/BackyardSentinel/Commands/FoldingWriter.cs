using System.Globalization;
using System.Text;

namespace BackyardSentinel.Commands;

/// <summary>Folds long lines between words for a terminal; what follows hangs below the text of the line's first part.</summary>
/// <param name="inner">Takes the folded lines.</param>
/// <param name="columns">The most columns of a line, 40 or more; a word that is longer stays whole.</param>
public sealed class FoldingWriter(TextWriter inner, int columns) : TextWriter(CultureInfo.InvariantCulture)
{
    /// <summary>The widest line that reads well (assumed).</summary>
    private const int Widest = 100;

    /// <summary>The width where the terminal does not tell its own.</summary>
    private const int Usual = 80;

    /// <summary>The narrowest terminal that is believed.</summary>
    private const int Narrowest = 40;

    /// <summary>The labels of a line end before this column; a gap further right lies within the text.</summary>
    private const int LabelColumns = 26;

    private readonly StringBuilder _line = new();

    /// <inheritdoc/>
    public override Encoding Encoding => inner.Encoding;

    /// <summary>Folds what goes to a terminal; a file, a pipe or anything else gets its lines whole.</summary>
    /// <param name="output">Where the lines go.</param>
    public static TextWriter For(TextWriter output) =>
        Console.IsOutputRedirected || !ReferenceEquals(output, Console.Out) ? output : new FoldingWriter(output, TerminalColumns());

    /// <inheritdoc/>
    public override void Write(char value)
    {
        if (value != '\n')
        {
            _line.Append(value);
            return;
        }

        inner.Write(Fold(_line.ToString().TrimEnd('\r'), columns));
        inner.Write('\n');
        _line.Clear();
    }

    /// <inheritdoc/>
    public override void Flush()
    {
        inner.Write(_line);
        _line.Clear();
        inner.Flush();
    }

    /// <summary>The line, with line ends and indents put in where it is too long.</summary>
    private static string Fold(string text, int columns)
    {
        var hang = Hang(text);
        var folded = new StringBuilder();
        var indent = "";
        while (indent.Length + text.Length > columns)
        {
            // Before the hang there are labels and gaps; to cut there would gain nothing.
            var first = indent.Length == 0 ? hang : 0;
            var room = columns - indent.Length;
            var cut = text.LastIndexOf(' ', room);
            if (cut <= first)
                cut = text.IndexOf(' ', Math.Max(room, first + 1));
            if (cut < 0)
                break;
            folded.Append(indent).Append(text.AsSpan(0, cut).TrimEnd()).Append('\n');
            text = text[cut..].TrimStart();
            indent = new string(' ', hang);
        }

        return folded.Append(indent).Append(text).ToString();
    }

    /// <summary>Where the text begins: after the last gap of two spaces or more among the labels.</summary>
    private static int Hang(string text)
    {
        var hang = 0;
        for (var place = 2; place < Math.Min(text.Length, LabelColumns); place++)
        {
            if (text[place] != ' ' && text[place - 1] == ' ' && text[place - 2] == ' ')
                hang = place;
        }

        return hang;
    }

    private static int TerminalColumns()
    {
        try
        {
            return Console.WindowWidth is >= Narrowest and var width ? Math.Min(width, Widest) : Usual;
        }
        catch (Exception unknown) when (unknown is IOException or PlatformNotSupportedException)
        {
            return Usual;
        }
    }
}
