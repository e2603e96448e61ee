using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Guards;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the garden file and says everything that is wrong with it at once.</summary>
public static class GardenFileReader
{
    /// <summary>Reads the file.</summary>
    /// <param name="path">The path as the user gave it; problems show it unchanged.</param>
    /// <returns>The garden, or <c>null</c> when there is any error; and all errors and notes.</returns>
    public static (GardenFile? Garden, IReadOnlyList<Problem> Problems) Read(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        var (text, fault, expected) = GardenText.Load(path);
        return text is null
            ? (null, [new Problem(path, 0, 0, fault!, expected)])
            : ReadText(path, text);
    }

    /// <summary>Reads a garden file's text.</summary>
    /// <param name="file">The name problems show.</param>
    /// <param name="text">The YAML text.</param>
    public static (GardenFile? Garden, IReadOnlyList<Problem> Problems) ReadText(string file, string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        ProblemList problems = new(file, text);
        GardenFile? garden = null;
        switch (new YamlTree(text, problems).Read())
        {
            case YamlMapping root:
                garden = ReadGarden(new SectionReader(IncludedFiles.Put(root, problems), GardenKeys.Garden, problems), problems);
                break;
            case YamlScalar { IsEmpty: true } nothing:
                problems.Error(nothing, $"the file holds no settings", $"at least one site under 'sites'");
                break;
            case { } other:
                problems.Error(other, $"the file does not start with a key", $"'sites:' and the other keys at the left margin");
                break;
        }

        return (problems.HasErrors ? null : garden, problems.InOrder());
    }

    private static GardenFile ReadGarden(SectionReader keys, ProblemList problems)
    {
        CheckThatThereAreSites(keys, problems);
        var broker = BrokerReader.Read(keys.Part("broker"), problems);
        var units = UnitSystem.Find(keys.Word("units"))!;
        List<PlacedSeries> shared = [.. keys.List("series").Select(map => SeriesReader.Read(map, problems)).OfType<PlacedSeries>()];
        var rules = new RuleReader(units, problems);
        var siteReader = new SiteReader(units, rules.ReadAll(keys), rules.Names, shared, problems);
        List<Site> sites = [.. keys.List("sites").Select(siteReader.Read)];
        var hasApricots = sites.Exists(site => site.Plantings.Any(planting => planting.Kind == TreeKind.Apricot));
        var products = ProductReader.ReadAll(keys, hasApricots, units);
        OwnTopics own = new(broker, sites);
        var garden = new GardenFile
        {
            Name = keys.Text("name")!,
            Units = units,
            Language = keys.Word("language")!,
            Broker = broker,
            Store = ReadStore(keys.Part("store"), problems),
            Capture = ReadCapture(keys.Part("capture"), problems),
            Sites = [.. sites.Select(site => site with { Products = products })],
            Series = siteReader.Series,
            Products = products,
            Forecast = ForecastSettingsReader.Read(keys.Part("forecast"), own, problems),
            Alerts = AlertReader.Read(keys.Part("alerts"), problems),
            Page = PageReader.Read(keys.Part("page"), problems),
            Influx = InfluxReader.Read(keys.Part("influx"), problems),
            Fingerprint = problems.Fingerprint(),
        };
        siteReader.CheckAcrossSites(own);
        return garden;
    }

    /// <summary>In the garden file or in one that it includes.</summary>
    private static void CheckThatThereAreSites(SectionReader keys, ProblemList problems)
    {
        if (keys.Node("sites") is YamlSequence { Items.Count: 0 } none && !keys.Has("include"))
            problems.Error(
                none,
                $"'sites' is a list with one or more entries, but an empty list stands here",
                $"entries below 'sites:', each starting with '- '");
        else if (keys.Node("sites") is null or YamlSequence { Items.Count: 0 } && keys.Has("include") && !problems.HasErrors)
            problems.Error(keys.Place("include"), $"neither this file nor one that it includes has a site", keys.Range("sites"));
        else if (!keys.Has("sites") && !keys.Has("include") && !keys.IsMisspelt("sites"))
            problems.Error(keys.Map, $"the garden file needs the key 'sites', which is missing here", keys.Range("sites"));
    }

    private static StoreSettings ReadStore(YamlMapping? map, ProblemList problems)
    {
        if (map is null)
            return new StoreSettings { Path = problems.InState(new StoreSettings().Path) };
        SectionReader keys = new(map, BrokerKeys.Store, problems);
        var path = problems.InState(keys.Text("path")!);
        if (path.EndsWith('/') || Directory.Exists(path))
            problems.Error(
                keys.Place("path"),
                $"'path' names a folder, {ProblemList.Quote(path)}; the database is one file",
                $"a path with a file name, such as data/sentinel.db");
        // What lies beside the store, its lock above all, is to lie there by whatever name it is called.
        return new StoreSettings
        {
            Path = OrdinaryFile.Target(path),
            CommitWindow = keys.Duration("commit_window"),
            KeepYears = keys.Whole("keep_years"),
        };
    }

    private static CaptureSettings? ReadCapture(YamlMapping? map, ProblemList problems)
    {
        if (map is null)
            return null;
        SectionReader keys = new(map, BrokerKeys.Capture, problems);
        var folder = problems.InState(keys.Text("folder") ?? "");
        if (File.Exists(folder))
            problems.Error(
                keys.Place("folder"),
                $"'folder' names a file, {ProblemList.Quote(folder)}; raw messages are kept in many files",
                $"a folder of their own, such as data/capture");
        return new CaptureSettings { Folder = folder, MostBytes = keys.Whole("most_mb") * 1_000_000L };
    }
}
