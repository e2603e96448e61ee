using BackyardSentinel.Wording;
using Mono.Cecil;
using Mono.Cecil.Cil;

namespace BackyardSentinel.Web;

/// <summary>
/// What the core says reaches the page through its words only: asked of the compiled code, where English could slip through.
/// </summary>
public sealed class CoreSentencesTests
{
    [Fact]
    public void The_page_never_tells_a_sentence_of_the_core_as_it_stands()
    {
        using var program = AssemblyDefinition.ReadAssembly(typeof(Leaf).Assembly.Location);
        var calls = program.MainModule.GetTypes()
            .Where(type => TopOf(type).Namespace.StartsWith("BackyardSentinel.Web", StringComparison.Ordinal))
            // For programs JSON is English.
            .Where(type => TopOf(type).Namespace != "BackyardSentinel.Web.Api")
            .SelectMany(type => type.Methods.Where(method => method.HasBody), (type, method) => (type, method))
            .SelectMany(one => one.method.Body.Instructions
                .Select(step => (one.type, one.method, Called: step.Operand as MethodReference, step.OpCode)))
            .Where(one => one.Called is not null && one.OpCode != OpCodes.Ldtoken)
            .ToList();

        Assert.Contains(calls, one => one.Called!.FullName.Contains(
            "PageWords::Say(BackyardSentinel.Wording.Sentence)", StringComparison.Ordinal));
        Assert.Empty(calls.Where(one => TellsAsItStands(one.Called!)).Select(one => $"{one.type.Name}.{one.method.Name}: "
            + $"{one.Called!.FullName}"));
    }

    /// <summary>Its text is asked for, or it is handed to what writes anything as text.</summary>
    private static bool TellsAsItStands(MethodReference called) =>
        (called.DeclaringType.FullName == typeof(Sentence).FullName && called.Name is "get_Text" or "ToString")
        || (called is GenericInstanceMethod { GenericArguments: [{ FullName: var argument }] }
            && argument == typeof(Sentence).FullName
            && called.Name is "AppendFormatted" or "Write" or "Join" or "Concat");

    private static TypeDefinition TopOf(TypeDefinition type) => type.DeclaringType is { } outer ? TopOf(outer) : type;
}
