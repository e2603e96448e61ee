using BackyardSentinel.Wording;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace BackyardSentinel.Tests.Generated;

/// <summary>
/// The patterns of all sentences of the program, read from its sources by the compiler itself: each interpolated string that becomes a
/// <see cref="Sentence"/>. They stand as the part <c>sentences</c> in the English words; other languages set a translation behind each.
/// </summary>
internal static class Sentences
{
    private const string Heading = "--- sentences\n", After = "\n--- page\n";

    private static readonly string[] OurOwn = ["BackyardSentinel.Core.dll", "backyard-sentinel.dll", "BackyardSentinel.Tests.dll"];

    private static readonly Lazy<IReadOnlyList<string>> Found = new(() => [.. Read().Distinct().Order(StringComparer.Ordinal)]);

    /// <summary>All patterns.</summary>
    public static IReadOnlyList<string> All => Found.Value;

    /// <summary>The English words, with the patterns as they are now.</summary>
    public static GeneratedFile File { get; } = new("src/BackyardSentinel/Delivery/words.en.liquid", Write);

    private static string Write(string before)
    {
        var (from, to) = (before.IndexOf(Heading, StringComparison.Ordinal) + Heading.Length,
            before.IndexOf(After, StringComparison.Ordinal));
        return before[..from] + string.Join('\n', All) + "\n" + before[to..];
    }

    private static IEnumerable<string> Read()
    {
        // The compiler adds the namespaces that every file uses.
        const string Usings = "global using System; global using System.Collections.Generic; global using System.IO; "
            + "global using System.Linq; global using System.Threading; global using System.Threading.Tasks; "
            + "global using Microsoft.AspNetCore.Builder; global using Microsoft.AspNetCore.Http;";
        var trees = Directory.EnumerateFiles(Checkout.Path("src"), "*.cs", SearchOption.AllDirectories)
            .Select(System.IO.File.ReadAllText)
            .Append(Usings)
            .Select(text => CSharpSyntaxTree.ParseText(text))
            .ToList();
        // All that the program stands on; it itself is what is read.
        var below = ((string)AppContext.GetData("TRUSTED_PLATFORM_ASSEMBLIES")!).Split(Path.PathSeparator)
            .Where(path => !OurOwn.Contains(Path.GetFileName(path)))
            .Select(path => MetadataReference.CreateFromFile(path));
        var program = CSharpCompilation.Create("program", trees, below,
            new CSharpCompilationOptions(OutputKind.DynamicallyLinkedLibrary, nullableContextOptions: NullableContextOptions.Enable));
        foreach (var tree in trees)
        {
            var model = program.GetSemanticModel(tree);
            foreach (var text in tree.GetRoot().DescendantNodes().OfType<InterpolatedStringExpressionSyntax>())
            {
                // One that is written in pieces is found by its first; of what is cast the operand keeps its own type.
                var whole = text.AncestorsAndSelf().TakeWhile(one => one is ExpressionSyntax).Cast<ExpressionSyntax>()
                    .TakeWhile(
                        one =>
                            one == text || one is BinaryExpressionSyntax or CastExpressionSyntax or ParenthesizedExpressionSyntax).Last();
                var pieces = whole.DescendantNodesAndSelf(one => one is not InterpolatedStringExpressionSyntax)
                    .OfType<InterpolatedStringExpressionSyntax>().ToList();
                if (pieces[0] == text
                    && model.GetTypeInfo(whole).ConvertedType?.Name == nameof(Sentence)
                    && Pattern(pieces) is var pattern
                    && pattern.Any(char.IsLetter))
                    yield return pattern;
            }
        }
    }

    private static string Pattern(IEnumerable<InterpolatedStringExpressionSyntax> pieces)
    {
        var hole = 0;
        return string.Concat(pieces.SelectMany(piece => piece.Contents)
            .Select(part => part is InterpolatedStringTextSyntax words ? Unescaped(words.TextToken.ValueText) : $"{{{hole++}}}"));
    }

    private static string Unescaped(string text) =>
        text.Replace("{{", "{", StringComparison.Ordinal).Replace("}}", "}", StringComparison.Ordinal);
}
