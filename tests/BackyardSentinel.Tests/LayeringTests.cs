using ArchUnitNET.Domain;
using ArchUnitNET.Loader;
using Assembly = System.Reflection.Assembly;

namespace BackyardSentinel.Tests;

/// <summary>The house has a direction: these tests ask the compiled types and fail where an arrow turns back.</summary>
public sealed class LayeringTests
{
    /// <summary>Floors of the core from the bottom up: what stands on a floor may use the floors below it and nothing else.</summary>
    private static readonly string[][] CoreFloors =
    [
        ["Units", "Wording"],
        ["Garden"],
        ["Weather"],
        ["Phenology"],
        ["Infection", "Scouting", "Spraying"],
        ["Events"],
        ["Alerting", "Planning", "Reporting", "Tuning"],
        ["Watching"],
        [""],
    ];

    /// <summary>Floors of the program from the bottom up; all of them stand on the core.</summary>
    private static readonly string[][] ProgramFloors =
    [
        ["Guards"],
        ["Contract"],
        ["Storage", "Sensors", "Mqtt"],
        ["Logs", "Forecasts", "Delivery"],
        // It reads the garden file into the very options of the parts below it; they do not know where these come from.
        ["Configuration"],
        ["Live", "Homie", "Proposing"],
        // One follows the season in the store, as Live keeps it; the other asks Live how the garden is.
        ["Influx", "Web"],
        ["Hosting"],
        ["Demo"],
        ["Commands"],
        [""],
    ];

    private static readonly Assembly Core = typeof(SiteWatch).Assembly;
    private static readonly Assembly Program = typeof(BackyardSentinel.Storage.SentinelStore).Assembly;
    private static readonly Architecture House = new ArchLoader().LoadAssemblies(Core, Program).Build();

    /// <summary>Each arrow from one type of ours to another, by the file's type: what is nested belongs to what it is nested in.</summary>
    private static readonly HashSet<(string From, string To)> Arrows =
    [
        .. House
            .Types.Where(IsOurs)
            .SelectMany(type =>
                type.Dependencies.Where(dependency => IsOurs(dependency.Target))
                    .Select(dependency => (NameOf(type), NameOf(dependency.Target))))
            .Where(arrow => arrow.Item1 != arrow.Item2),
    ];

    private static readonly HashSet<string> CoreTypes = [.. Core.GetTypes().Select(type => Outermost(type.FullName!))];

    [Fact]
    public void In_the_core_no_folder_uses_its_own_floor_or_a_higher_one() =>
        Assert.Empty(Wrong(CoreFloors, arrow => CoreTypes.Contains(arrow.From) && CoreTypes.Contains(arrow.To)));

    [Fact]
    public void In_the_program_no_folder_uses_its_own_floor_or_a_higher_one() =>
        Assert.Empty(Wrong(ProgramFloors, arrow => !CoreTypes.Contains(arrow.From) && !CoreTypes.Contains(arrow.To)));

    [Fact]
    public void No_circle_of_files_is_left()
    {
        var uses = Arrows.ToLookup(arrow => arrow.From, arrow => arrow.To);

        Assert.Empty(Circles(uses));
    }

    [Fact]
    public void The_test_sees_a_use_by_a_qualified_name()
    {
        Assert.Contains(("BackyardSentinel.SiteWatch", "BackyardSentinel.Weather.IntervalBuilder"), Arrows);
        Assert.Contains(
            Arrows,
            arrow =>
                arrow.From == "BackyardSentinel.Weather.IntervalBuilder"
                && arrow.To.StartsWith("BackyardSentinel.Garden.", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("BackyardSentinel.Core")]
    [InlineData("BackyardSentinel")]
    public void A_namespace_is_the_folder(string project)
    {
        var root = Checkout.Path("src", project);
        var wrong = Directory
            .EnumerateFiles(root, "*.cs", SearchOption.AllDirectories)
            .Where(file =>
                File.ReadLines(file).FirstOrDefault(line => line.StartsWith("namespace ", StringComparison.Ordinal)) is { } line
                && line != $"namespace {NamespaceOf(System.IO.Path.GetRelativePath(root, file))};");

        Assert.Empty(wrong);

        static string NamespaceOf(string file) => string.Join('.', ["BackyardSentinel", .. file.Split('/', '\\')[..^1]]);
    }

    [Theory]
    [InlineData("BackyardSentinel.Core")]
    [InlineData("BackyardSentinel")]
    public void No_folder_is_a_drawer_for_odds_and_ends(string project)
    {
        string[] drawers = ["Common", "Helpers", "Utils", "Models", "Internal", "Misc"];

        Assert.DoesNotContain(
            Directory.EnumerateDirectories(Checkout.Path("src", project), "*", SearchOption.AllDirectories),
            folder => drawers.Contains(System.IO.Path.GetFileName(folder)));
    }

    [Fact]
    public void The_core_references_no_package()
    {
        var project = File.ReadAllText(Checkout.Path("src", "BackyardSentinel.Core", "BackyardSentinel.Core.csproj"));

        Assert.DoesNotContain("PackageReference", project, StringComparison.Ordinal);
        Assert.DoesNotContain("ProjectReference", project, StringComparison.Ordinal);
    }

    private static List<string> Wrong(string[][] floors, Func<(string From, string To), bool> isInside)
    {
        var wrong = new List<string>();
        foreach (var arrow in Arrows.Where(isInside).Order())
        {
            var (from, to) = (FolderOf(arrow.From), FolderOf(arrow.To));
            if (from == to)
                continue;
            if (FloorOf(floors, from) is not { } high || FloorOf(floors, to) is not { } low)
                wrong.Add($"{arrow.From} → {arrow.To}: one of these folders has no floor in the house yet");
            else if (low >= high)
                wrong.Add($"{arrow.From} → {arrow.To}");
        }

        return wrong;
    }

    private static int? FloorOf(string[][] floors, string folder) =>
        Array.FindIndex(floors, floor => floor.Contains(folder)) is >= 0 and var floor ? floor : null;

    /// <summary>The groups of types that lead back to themselves (Tarjan's strongly connected components of more than one).</summary>
    private static List<string> Circles(ILookup<string, string> uses)
    {
        var circles = new List<string>();
        var (index, low) = (new Dictionary<string, int>(), new Dictionary<string, int>());
        var (open, isOpen) = (new Stack<string>(), new HashSet<string>());
        foreach (var start in uses.Select(group => group.Key).Where(type => !index.ContainsKey(type)).ToList())
        {
            if (!index.ContainsKey(start))
                Visit(start);
        }

        return circles;

        void Visit(string type)
        {
            index[type] = low[type] = index.Count;
            open.Push(type);
            isOpen.Add(type);
            foreach (var next in uses[type])
            {
                if (!index.TryGetValue(next, out var met))
                {
                    Visit(next);
                    low[type] = Math.Min(low[type], low[next]);
                }
                else if (isOpen.Contains(next))
                {
                    low[type] = Math.Min(low[type], met);
                }
            }

            if (low[type] != index[type])
                return;
            var group = new List<string>();
            do
            {
                group.Add(open.Pop());
                isOpen.Remove(group[^1]);
            }
            while (group[^1] != type);
            if (group.Count > 1)
                circles.Add(string.Join(" ↔ ", group.Order(StringComparer.Ordinal)));
        }
    }

    private static bool IsOurs(IType type) => type.FullName.StartsWith("BackyardSentinel.", StringComparison.Ordinal);

    private static string NameOf(IType type) => Outermost(type.FullName);

    private static string Outermost(string name) => name.IndexOfAny(['+', '/', '`']) is > 0 and var end ? name[..end] : name;

    private static string FolderOf(string type) => type.Split('.') is { Length: > 2 } parts ? parts[1] : "";
}
