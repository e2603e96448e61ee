using System.Text.Json.Nodes;

namespace BackyardSentinel.Tests.Generated;

/// <summary>A file of the checkout that is made from the code, whole or in part.</summary>
/// <param name="Path">Its path from the checkout's top.</param>
/// <param name="Make">Gives what it should hold; it is handed what it holds now, empty where there is no such file.</param>
internal sealed record GeneratedFile(string Path, Func<string, string> Make)
{
    /// <summary>What writes all of them anew.</summary>
    public const string Command = "dotnet run --project tests/BackyardSentinel.Tests -- generate";

    /// <summary>All such files.</summary>
    public static IReadOnlyList<GeneratedFile> All { get; } =
    [
        GardenSchema.File, GardenTables.File, .. ContractSchemas.Files, OpenApi.File, Sentences.File, ManPage.File,
        .. Completions.Files, .. ThirdParty.Files, UnitTemplate.File, ExampleReport.File,
    ];

    /// <summary>What a schema of a contract's record should hold; <c>null</c>: it is written by hand.</summary>
    /// <param name="path">Its path from the checkout's top.</param>
    public static JsonNode? Made(string path) =>
        ContractSchemas.Files.FirstOrDefault(file => file.Path == path) is { } file ? JsonNode.Parse(file.Make("")) : null;

    private string FullPath => Checkout.Path(Path.Split('/'));

    private string Now => File.Exists(FullPath) ? File.ReadAllText(FullPath) : "";

    /// <summary>What the file holds is what the code says.</summary>
    public bool IsTrue() => Now == Make(Now);

    /// <summary>Writes what the code says.</summary>
    public void Write()
    {
        Directory.CreateDirectory(System.IO.Path.GetDirectoryName(FullPath)!);
        File.WriteAllText(FullPath, Make(Now));
    }
}
