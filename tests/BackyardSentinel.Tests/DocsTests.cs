using System.Text.RegularExpressions;

namespace BackyardSentinel.Tests;

/// <summary>What the documents say is there is there.</summary>
public sealed partial class DocsTests
{
    [GeneratedRegex(@"\]\((?!https?:)([^)#]+)\)")]
    private static partial Regex Link();

    [GeneratedRegex(@"`(--[a-z-]+)")]
    private static partial Regex OptionName();

    [GeneratedRegex(@"[\w/.-]*\w(?:\.cs\b|/(?![\w*]))")]
    private static partial Regex FileOrFolder();

    public static TheoryData<string> Documents =>
        [.. new[] { Checkout.Path("README.md"), Checkout.Path("DEVELOPERS.md") }
            .Concat(Directory.EnumerateFiles(Checkout.Path("docs"), "*.md"))
            .Select(path => System.IO.Path.GetRelativePath(Checkout.Root, path))];

    [Theory]
    [MemberData(nameof(Documents))]
    public void Every_link_leads_somewhere(string document)
    {
        var path = Checkout.Path(document);
        var folder = System.IO.Path.GetDirectoryName(path)!;
        var broken = Link().Matches(File.ReadAllText(path))
            .Select(match => match.Groups[1].Value)
            .Where(link => !File.Exists(System.IO.Path.Combine(folder, link)) && !Directory.Exists(System.IO.Path.Combine(folder, link)));

        Assert.Empty(broken);
    }

    [Fact]
    public void Every_document_is_reached_from_the_list_of_them()
    {
        var list = File.ReadAllText(Checkout.Path("docs", "README.md"));
        var reached = Link().Matches(list).Select(match => match.Groups[1].Value);
        var there = Directory.EnumerateFiles(Checkout.Path("docs"), "*.md").Select(System.IO.Path.GetFileName);

        Assert.Equal(["README.md"], there.Except(reached));
        Assert.Contains("docs/README.md", File.ReadAllText(Checkout.Path("README.md")), StringComparison.Ordinal);
    }

    [Fact]
    public void Every_source_file_and_folder_that_the_guide_names_is_there()
    {
        var there = new[] { "src", "tests", "docs" }
            .Select(folder => Checkout.Path(folder))
            .SelectMany(folder => Directory.EnumerateFileSystemEntries(folder, "*", SearchOption.AllDirectories).Prepend(folder))
            .Select(path => "/" + System.IO.Path.GetRelativePath(Checkout.Root, path).Replace('\\', '/'))
            .ToList();
        var named = FileOrFolder()
            .Matches(File.ReadAllText(Checkout.Path("DEVELOPERS.md")))
            .Select(match => match.Value.TrimEnd('/').Replace("Core/", "BackyardSentinel.Core/", StringComparison.Ordinal))
            .ToList();

        Assert.Contains("Contract", named);
        Assert.DoesNotContain(named, name => !there.Exists(path => path.EndsWith("/" + name, StringComparison.Ordinal)));
    }

    [Fact]
    public void The_page_on_replay_names_exactly_the_options_that_replay_has()
    {
        var has = BackyardSentinel
            .Commands.Replay.ReplayCommand.Create()
            .Options.Select(option => option.Name)
            .Where(name => name.StartsWith("--", StringComparison.Ordinal));
        var named = OptionName().Matches(File.ReadAllText(Checkout.Path("docs", "replay.md"))).Select(match => match.Groups[1].Value);

        Assert.Equal(has.Except(["--help"]).Order(StringComparer.Ordinal), named.Distinct().Order(StringComparer.Ordinal));
    }

    [Fact]
    public void The_readme_gives_the_two_commands_that_ci_and_the_demo_test_run()
    {
        var readme = File.ReadAllText(Checkout.Path("README.md"));

        Assert.Contains("dotnet run --project src/BackyardSentinel -c Release -- run --demo\n", readme, StringComparison.Ordinal);
        Assert.Contains("dotnet test -c Release\n", readme, StringComparison.Ordinal);
        Assert.Contains("\ndotnet test -c Release ", File.ReadAllText(Checkout.Path(".ci", "run")), StringComparison.Ordinal);
    }
}
