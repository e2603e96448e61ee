using System.Text.Json;
using System.Text.Json.Nodes;
using System.Xml.Linq;
using BackyardSentinel.Contract;

namespace BackyardSentinel.Tests.Generated;

/// <summary>What others wrote and is built into the program: the lock file's packages with what each says of its licence.</summary>
internal static class ThirdParty
{
    /// <summary>The notices for people, and the same as a bill of materials (CycloneDX 1.6) for programs.</summary>
    public static IReadOnlyList<GeneratedFile> Files { get; } =
        [new("docs/third-party.md", _ => Notices()), new("deploy/sbom.cdx.json", _ => Bill())];

    /// <summary>Of these only the compiler makes use.</summary>
    private static readonly string[] BuildOnly = ["Microsoft.CodeAnalysis.BannedApiAnalyzers", "Microsoft.NET.ILLink.Tasks"];

    private sealed record Package(string Name, string Version, string Licence, string Owner);

    private static List<Package> Packages()
    {
        using var file = JsonDocument.Parse(File.ReadAllBytes(Checkout.Path("src", "BackyardSentinel", "packages.lock.json")));
        return
        [
            .. file.RootElement.GetProperty("dependencies").EnumerateObject()
                .SelectMany(framework => framework.Value.EnumerateObject())
                .Where(one => one.Value.GetProperty("type").GetString() != "Project" && !BuildOnly.Contains(one.Name))
                .Select(one => Read(one.Name, one.Value.GetProperty("resolved").GetString()!))
                .OrderBy(one => one.Name, StringComparer.OrdinalIgnoreCase),
        ];
    }

    private static Package Read(string name, string version)
    {
        var id = name.ToLowerInvariant();
        var folder = Environment.GetEnvironmentVariable("NUGET_PACKAGES")
            ?? Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".nuget", "packages");
        var facts = XDocument.Load(Path.Combine(folder, id, version, id + ".nuspec")).Root!.Elements().First();
        var licence = facts.Elements().FirstOrDefault(one => one.Name.LocalName == "license");
        return new Package(
            name,
            version,
            licence?.Attribute("type")?.Value == "expression" ? licence.Value : ReadByHand[name],
            Text("copyright") ?? "Copyright " + Text("authors"));

        string? Text(string element) => facts.Elements()
            .Where(one => one.Name.LocalName == element)
            .Select(one => one.Value.ReplaceLineEndings(" ").Trim())
            .FirstOrDefault(text => text.Length > 0);
    }

    /// <summary>Packages that bring their licence as a file; read in it for these versions.</summary>
    private static readonly Dictionary<string, string> ReadByHand = new()
    {
        ["MQTTnet"] = "MIT",
        ["MQTTnet.Server"] = "MIT",
        ["K4os.Compression.LZ4"] = "MIT",
        ["SQLite"] = "blessing",
    };

    private static string Notices()
    {
        var rows = string.Concat(Packages().Select(one => $"| {one.Name} {one.Version} | {one.Licence} | {one.Owner} |\n"));
        return $"""
            # What others wrote

            Built into the program is the work of these people, with thanks. Each package says so itself; its full licence lies in it.
            The names of licences are those of the SPDX list (`blessing`: SQLite's, which puts it into the public domain). The native
            program also contains the .NET runtime (MIT, .NET Foundation and Contributors), whose own notices name what is in it.
            [../deploy/sbom.cdx.json](../deploy/sbom.cdx.json) says the same for programs (CycloneDX). Both are written by
            `{GeneratedFile.Command}` from the lock file, and a test says when they are stale.

            | package | licence | by |
            |---|---|---|
            {rows}
            """.TrimEnd() + "\n";
    }

    private static string Bill()
    {
        var components = Packages().Select(one => (JsonNode)new JsonObject
        {
            ["type"] = "library",
            ["bom-ref"] = $"pkg:nuget/{one.Name}@{one.Version}",
            ["name"] = one.Name,
            ["version"] = one.Version,
            ["purl"] = $"pkg:nuget/{one.Name}@{one.Version}",
            ["copyright"] = one.Owner,
            ["licenses"] = new JsonArray(
                one.Licence.Contains(' ', StringComparison.Ordinal)
                    ? new JsonObject { ["expression"] = one.Licence }
                    : new JsonObject { ["license"] = new JsonObject { ["id"] = one.Licence } }),
        });
        var bill = new JsonObject
        {
            ["bomFormat"] = "CycloneDX",
            ["specVersion"] = "1.6",
            ["version"] = 1,
            ["metadata"] = new JsonObject
            {
                ["component"] = new JsonObject
                {
                    ["type"] = "application",
                    ["bom-ref"] = "backyard-sentinel",
                    ["name"] = "backyard-sentinel",
                    ["licenses"] = new JsonArray(new JsonObject { ["license"] = new JsonObject { ["id"] = "MIT" } }),
                },
            },
            ["components"] = new JsonArray([.. components]),
        };
        return bill.ToJsonString(ContractJson.Printed.Options) + "\n";
    }
}
