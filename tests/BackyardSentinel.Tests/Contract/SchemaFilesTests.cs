using BackyardSentinel.Contract;
using Xunit;

namespace BackyardSentinel.Tests.Contract;

/// <summary>docs/schemas says what the records of <see cref="ContractJson"/> are, and nothing else.</summary>
public sealed class SchemaFilesTests
{
    /// <summary>Forms of what comes in, which no record writes.</summary>
    private static readonly string[] ByHand = ["answer", "forecast", "alert", "alert-webhook", "alert-list", "explain", "journal", "plan", "refused", "replay"];

    public static TheoryData<string> Names => [.. SchemaWriter.Documents.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void A_schema_says_what_its_record_is(string name)
    {
        var path = PathOf(name);
        Assert.True(
            File.Exists(path) && File.ReadAllText(path) == SchemaWriter.Write(SchemaWriter.Documents[name]),
            $"docs/schemas/{name}.schema.json does not say what {SchemaWriter.Documents[name].Name} is. After a build write all schemas "
            + "anew with: artifacts/bin/BackyardSentinel.Tests/debug/BackyardSentinel.Tests -explicit only");
    }

    [Fact]
    public void Every_schema_is_of_a_record_or_of_what_comes_in() =>
        Assert.Equal(
            SchemaWriter.Documents.Keys.Concat(ByHand).Order(StringComparer.Ordinal),
            Directory
                .EnumerateFiles(Checkout.Path("docs", "schemas"))
                .Select(path => Path.GetFileName(path).Replace(".schema.json", "", StringComparison.Ordinal))
                .Order(StringComparer.Ordinal));

    [Fact(Explicit = true)]
    public void Write_the_schemas()
    {
        foreach (var (name, document) in SchemaWriter.Documents)
            File.WriteAllText(PathOf(name), SchemaWriter.Write(document));
    }

    private static string PathOf(string name) => Checkout.Path("docs", "schemas", name + ".schema.json");
}
