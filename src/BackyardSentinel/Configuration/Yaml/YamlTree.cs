using BackyardSentinel.Wording;
using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace BackyardSentinel.Configuration.Yaml;

/// <summary>
/// Builds the tree of a garden file from YAML events. Only plain maps, lists and values pass: an anchor or a tag makes
/// a settings file mean something other than what a reader sees.
/// </summary>
/// <param name="text">The file's text.</param>
/// <param name="problems">Where problems go.</param>
/// <param name="included">The included file that it is; <c>null</c>: the garden file itself.</param>
internal sealed class YamlTree(string text, ProblemList problems, string? included = null)
{
    // The garden file is four levels deep; the limit keeps a hostile file from exhausting the stack.
    private const int DeepestLevel = 16;

    private readonly Parser _parser = new(new StringReader(text));

    /// <summary>The tree, or <c>null</c> after reporting why there is none.</summary>
    public YamlNode? Read()
    {
        try
        {
            return ReadDocument();
        }
        catch (YamlException e)
        {
            YamlSyntax.Report(e.Start, e.Message, text, problems, included);
            return null;
        }
        catch (Exception e) when (e is InvalidOperationException or ArgumentException or IndexOutOfRangeException)
        {
            // The parser trips over a few malformed lists in this way; for the user it is one more slip in the YAML.
            YamlSyntax.Report(_parser.Current?.End ?? Mark.Empty, "", text, problems, included);
            return null;
        }
    }

    private YamlNode? ReadDocument()
    {
        _parser.Consume<StreamStart>();
        if (_parser.TryConsume<StreamEnd>(out _))
        {
            problems.Error(included, 1, 1, $"the file holds no settings", $"at least one site under 'sites'");
            return null;
        }

        _parser.Consume<DocumentStart>();
        var root = ReadNode(0);
        if (root is null)
            return null;
        _parser.Consume<DocumentEnd>();
        if (_parser.TryConsume<DocumentStart>(out var second))
        {
            problems.Error(
                included,
                (int)second.Start.Line,
                (int)second.Start.Column,
                $"a second YAML document starts here; a garden is one document",
                $"no line '---' after the first settings");
            return null;
        }

        return root;
    }

    private YamlNode? ReadNode(int depth)
    {
        var line = (int)_parser.Current!.Start.Line;
        var column = (int)_parser.Current.Start.Column;
        if (depth > DeepestLevel)
        {
            problems.Error(
                included,
                line,
                column,
                $"the settings are nested more than {DeepestLevel} levels deep here",
                $"the shape shown in docs/garden-file.md");
            return null;
        }

        if (_parser.TryConsume<AnchorAlias>(out var alias))
        {
            problems.Error(
                included,
                line,
                column,
                $"'*{new Name(ProblemList.Printable(alias.Value.Value))}' repeats a marked part of the file; "
                    + $"the garden file does without such references",
                $"the settings written out, or the value in quotes if it really starts with '*'");
            return new YamlRefused(line, column) { File = included };
        }

        if (_parser.Current is NodeEvent node)
            RefuseDecorations(node, line, column);
        if (_parser.TryConsume<Scalar>(out var scalar))
            return new YamlScalar(line, column, scalar.Value, scalar.Style != ScalarStyle.Plain) { File = included };
        return _parser.TryConsume<SequenceStart>(out _)
            ? ReadSequence(line, column, depth)
            : ReadMapping(line, column, depth);
    }

    private YamlSequence? ReadSequence(int line, int column, int depth)
    {
        List<YamlNode> items = [];
        while (!_parser.TryConsume<SequenceEnd>(out _))
        {
            if (ReadNode(depth + 1) is not { } item)
                return null;
            items.Add(item);
        }

        return new YamlSequence(line, column, items) { File = included };
    }

    private YamlMapping? ReadMapping(int line, int column, int depth)
    {
        _parser.Consume<MappingStart>();
        List<YamlEntry> entries = [];
        Dictionary<string, int> seen = new(StringComparer.Ordinal);
        while (!_parser.TryConsume<MappingEnd>(out _))
        {
            var keyNode = ReadNode(depth + 1);
            if (keyNode is null || ReadNode(depth + 1) is not { } value)
                return null;
            if (keyNode is not YamlScalar key)
                problems.Error(keyNode, $"a key must be a single word, not a list or a map", $"'key: value'");
            else if (seen.TryGetValue(key.Value, out var first))
                problems.Error(
                    key,
                    $"the key {ProblemList.Quote(key.Value)} stands here a second time (first in line {first}); "
                        + $"only one of the two could count",
                    $"each key once; delete one of the two lines");
            else
            {
                seen.Add(key.Value, key.Line);
                entries.Add(new YamlEntry(key, value));
            }
        }

        return new YamlMapping(line, column, entries) { File = included };
    }

    private void RefuseDecorations(NodeEvent node, int line, int column)
    {
        if (!node.Anchor.IsEmpty)
            problems.Error(
                included,
                line,
                column,
                $"'&{new Name(ProblemList.Printable(node.Anchor.Value))}' marks a part of the file for reuse; "
                    + $"the garden file does without such marks",
                $"the settings written out, or the value in quotes if it really starts with '&'");
        if (!node.Tag.IsEmpty)
            problems.Error(
                included,
                line,
                column,
                $"'{new Name(Tag(node.Tag))}' gives the value a YAML type; the garden file knows the type of every key itself",
                $"the value alone, or the value in quotes if it really starts with '!'");
    }

    private static string Tag(TagName tag) =>
        tag.IsNonSpecific ? "!" : ProblemList.Printable(tag.Value.Replace("tag:yaml.org,2002:", "!!", StringComparison.Ordinal));
}
