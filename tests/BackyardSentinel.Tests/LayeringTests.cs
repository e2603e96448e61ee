using System.Text.RegularExpressions;
using Xunit;

namespace BackyardSentinel.Tests;

/// <summary>The house has a direction: these tests read the sources and fail where an arrow turns back.</summary>
public sealed partial class LayeringTests
{
    /// <summary>Folders of the core from the bottom up: each may use those before it.</summary>
    private static readonly string[] CoreOrder = ["Units", "Weather", "Phenology", "Spraying", "Infection", "Scouting", "Events", "Alerting", "Tuning", "Reporting"];

    /// <summary>What each folder of the program may use beside the core.</summary>
    private static readonly Dictionary<string, string[]> ProgramUses = new()
    {
        ["Configuration"] = [],
        ["Ingest"] = [],
        ["Storage"] = [],
        ["Mqtt"] = [],
        ["Delivery"] = ["Ingest", "Storage"],
        ["Homie"] = ["Mqtt"],
        ["Hosting"] = ["Configuration", "Ingest", "Storage", "Mqtt", "Delivery", "Homie"],
        ["Demo"] = ["Configuration", "Hosting"],
        ["Commands"] = ["Configuration", "Ingest", "Storage", "Mqtt", "Delivery", "Hosting", "Demo"],
    };

    [GeneratedRegex(@"^\s*(?:global\s+)?using\s+(?:static\s+)?BackyardSentinel\.(\w+)", RegexOptions.Multiline)]
    private static partial Regex Using();

    [GeneratedRegex(@"^namespace ([\w.]+);", RegexOptions.Multiline)]
    private static partial Regex Namespace();

    [Fact]
    public void In_the_core_no_folder_uses_a_later_one()
    {
        var wrong = new List<string>();
        foreach (var (folder, file, text) in Sources("BackyardSentinel.Core"))
        {
            if (folder.Length == 0)
                continue; // The pipeline at the root sees everything.
            foreach (Match match in Using().Matches(text))
            {
                var used = match.Groups[1].Value;
                if (Array.IndexOf(CoreOrder, used) > Array.IndexOf(CoreOrder, folder))
                    wrong.Add($"{file} uses {used}");
            }
        }

        Assert.Empty(wrong);
    }

    [Fact]
    public void In_the_program_folders_use_only_what_lies_below_them()
    {
        var wrong = new List<string>();
        foreach (var (folder, file, text) in Sources("BackyardSentinel"))
        {
            if (folder.Length == 0)
                continue;
            Assert.True(ProgramUses.ContainsKey(folder), $"{file}: the folder {folder} has no place in the map of the house yet");
            foreach (Match match in Using().Matches(text))
            {
                var used = match.Groups[1].Value;
                if (used != folder && ProgramUses.ContainsKey(used) && !ProgramUses[folder].Contains(used))
                    wrong.Add($"{file} uses {used}");
            }
        }

        Assert.Empty(wrong);
    }

    [Theory]
    [InlineData("BackyardSentinel.Core")]
    [InlineData("BackyardSentinel")]
    public void A_namespace_is_the_folder(string project)
    {
        var wrong = Sources(project)
            .Where(source => Namespace().Match(source.Text) is { Success: true } match
                && match.Groups[1].Value != (source.Folder.Length == 0 ? "BackyardSentinel" : $"BackyardSentinel.{source.Folder}"))
            .Select(source => source.File);

        Assert.Empty(wrong);
    }

    [Theory]
    [InlineData("BackyardSentinel.Core")]
    [InlineData("BackyardSentinel")]
    public void No_folder_is_a_drawer_for_odds_and_ends(string project)
    {
        string[] drawers = ["Common", "Helpers", "Utils", "Models", "Internal", "Misc"];

        Assert.DoesNotContain(Sources(project), source => drawers.Contains(source.Folder));
    }

    [Fact]
    public void The_core_references_no_package()
    {
        var project = File.ReadAllText(Checkout.Path("src", "BackyardSentinel.Core", "BackyardSentinel.Core.csproj"));

        Assert.DoesNotContain("PackageReference", project, StringComparison.Ordinal);
        Assert.DoesNotContain("ProjectReference", project, StringComparison.Ordinal);
    }

    private static IEnumerable<(string Folder, string File, string Text)> Sources(string project)
    {
        var root = Checkout.Path("src", project);
        return Directory.EnumerateFiles(root, "*.cs", SearchOption.AllDirectories).Select(file =>
        {
            var parts = System.IO.Path.GetRelativePath(root, file).Split('/', '\\');
            return (parts.Length > 1 ? parts[0] : "", string.Join('/', parts), File.ReadAllText(file));
        });
    }
}
