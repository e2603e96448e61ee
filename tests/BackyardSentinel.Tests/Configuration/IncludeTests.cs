using BackyardSentinel.Configuration.Yaml;

namespace BackyardSentinel.Tests.Configuration;

/// <summary>A garden file that is put together from several.</summary>
public sealed class IncludeTests : IDisposable
{
    private const string Shared = """
        include: [gardens/*.yaml, shed.yaml]
        series:
          - { quantity: temperature, topic: "{site}/t" }
          - { quantity: humidity, topic: "{site}/h" }
          - { quantity: rain, topic: "{site}/r" }

        """;

    private const string Shed = "products:\n"
        + "  - { id: winter-copper, template: fixed-copper, active: copper-hydroxide, copper: 50, dose: 5 g/L }\n";

    private readonly string _folder = Directory.CreateTempSubdirectory("sentinel-include-").FullName;

    public void Dispose() => Directory.Delete(_folder, true);

    [Fact]
    public void Files_come_in_the_order_of_their_names_behind_what_the_garden_file_has()
    {
        Write("gardens/b.yaml", Site("mill-lane"));
        Write("gardens/a.yaml", Site("elder-row") + Site("ford", ""));
        Write("shed.yaml", Shed);
        var (garden, problems) = Read(Shared + Site("home"));
        Assert.NotNull(garden);
        Assert.Equal(["home", "elder-row", "ford", "mill-lane"], garden.Sites.Select(site => site.Id));
        Assert.Equal("mill-lane/r", garden.SeriesOf("mill-lane").Last().Topic);
        Assert.All(garden.Sites, site => Assert.Equal("winter-copper", Assert.Single(site.Products).Id));
        Assert.All(problems, problem => Assert.True(problem.IsNote));
    }

    [Fact]
    public void The_garden_file_needs_no_sites_of_its_own_then()
    {
        Write("gardens/a.yaml", Site("elder-row"));
        Write("shed.yaml", Shed);
        Assert.Equal("elder-row", Assert.Single(Read(Shared).Garden!.Sites).Id);
    }

    [Fact]
    public void A_star_stands_for_no_hidden_file()
    {
        Write("gardens/a.yaml", Site("elder-row"));
        Write("gardens/.a.yaml.swp.yaml", "left: behind\n");
        Write("shed.yaml", Shed);
        Assert.Equal("elder-row", Assert.Single(Read(Shared).Garden!.Sites).Id);
    }

    [Fact]
    public void A_change_of_any_of_the_files_is_a_change_of_the_garden_file()
    {
        Write("gardens/a.yaml", Site("elder-row"));
        Write("shed.yaml", Shed);
        var first = Read(Shared).Garden!.Fingerprint;
        Assert.Equal(first, Read(Shared).Garden!.Fingerprint);
        Write("shed.yaml", Shed + "# in the shed\n");
        var second = Read(Shared).Garden!.Fingerprint;
        Assert.NotEqual(first, second);
        Assert.NotEqual(second, Read(Shared + "# above\n").Garden!.Fingerprint);
    }

    [Fact]
    public void What_is_wrong_in_an_included_file_is_told_with_its_name_and_line()
    {
        Write("gardens/a.yaml", Site("elder-row"));
        Write("gardens/b.yaml", "# a heading\n" + Site("elder-row"));
        Write("gardens/c.yaml", "broker: { port: 1884 }\n" + Site("ford"));
        Write("gardens/d.yaml", "sites:\n  - id: weir\n    zone:Europe/Rome\n");
        Write("gardens/e.yaml", "- sites\n");
        Write("gardens/f.yaml", "sites: [weir]\nproducts: none\n");
        Write("shed.yaml", Shed);
        var text = Written(Shared);
        Assert.Contains(
            "gardens/b.yaml:3:9: the site id 'elder-row' is already used in line 2 of gardens/a.yaml; "
                + "alerts could not tell the two apart\n  3 |",
            text,
            StringComparison.Ordinal);
        Assert.Contains("gardens/c.yaml:1:1: 'broker' is not a key of an included file", text, StringComparison.Ordinal);
        Assert.Contains("gardens/d.yaml:3:9: the space after the colon is missing", text, StringComparison.Ordinal);
        Assert.Contains("gardens/e.yaml:1:1: an included file starts with a key", text, StringComparison.Ordinal);
        Assert.Contains("gardens/f.yaml:1:9: an entry of 'sites' is a group of keys", text, StringComparison.Ordinal);
        Assert.Contains("gardens/f.yaml:2:11: 'products' is a list with one or more entries", text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("include: [gardens/*.yaml]", "garden.yaml:1:11: there is no file 'gardens/*.yaml' beside the garden file")]
    [InlineData("include: [gardens]", "'gardens' cannot be included: this is a folder")]
    [InlineData("include: gardens/a.yaml", "garden.yaml:1:10: 'include' is a list of files")]
    [InlineData("include: []", "garden.yaml:1:10: 'include' is a list of files")]
    [InlineData("include: [[a]]", "garden.yaml:1:11: an entry of 'include' is the path of a file")]
    [InlineData("name: A", "garden.yaml:1:1: the garden file needs the key 'sites', which is missing here")]
    public void A_list_that_leads_nowhere_is_told(string line, string expected)
    {
        Directory.CreateDirectory(Path.Combine(_folder, "gardens"));
        Assert.Contains(expected, Written(line + "\n"), StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_that_two_patterns_find_counts_once_and_an_endless_one_is_no_garden()
    {
        Write("gardens/a.yaml", Site("elder-row"));
        Write("shed.yaml", Shed);
        Assert.Single(Read(Shared.Replace("shed.yaml", "shed.yaml, gardens/a.yaml", StringComparison.Ordinal)).Garden!.Sites);
        Assert.SkipUnless(File.Exists("/dev/zero"), "There is no /dev/zero on this system.");
        Assert.Contains("the file holds no settings", Written("include: [/dev/zero]\n"), StringComparison.Ordinal);
        Assert.Contains(
            "neither this file nor one that it includes has a site",
            Written("include: [shed.yaml]\n"),
            StringComparison.Ordinal);
    }

    private static string Site(string id, string head = "sites:\n") =>
        $"{head}  - id: {id}\n    plantings: [{{ id: {id}-peach, kind: peach }}]\n";

    private string Written(string text)
    {
        StringWriter written = new();
        ProblemRenderer.Write(Read(text).Problems, written);
        return written.ToString().Replace(_folder + "/", "", StringComparison.Ordinal);
    }

    private (GardenFile? Garden, IReadOnlyList<Problem> Problems) Read(string text)
    {
        Write("garden.yaml", text);
        return GardenFileReader.Read(Path.Combine(_folder, "garden.yaml"));
    }

    private void Write(string name, string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(Path.Combine(_folder, name))!);
        File.WriteAllText(Path.Combine(_folder, name), text);
    }
}
