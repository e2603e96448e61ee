using System.Globalization;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>plantings</c>.</summary>
internal static class PlantingReader
{
    public static IReadOnlyList<GardenPlanting> ReadAll(SectionReader site, ProblemList problems)
    {
        Dictionary<string, YamlNode> ids = new(StringComparer.Ordinal);
        List<GardenPlanting> plantings = [.. site.List("plantings").Select(map => Read(map, ids, problems))];
        if (plantings.Count == 0 && site.Node("plantings") is null or YamlSequence { Items.Count: 0 })
            problems.Note(site.Place("plantings"), "this site has no plantings, so its weather is recorded and nothing is judged");
        return plantings;
    }

    private static GardenPlanting Read(YamlMapping map, Dictionary<string, YamlNode> ids, ProblemList problems)
    {
        SectionReader keys = new(map, GardenKeys.Planting, problems);
        return new GardenPlanting(
            IdText.Read(keys, ids, "planting", problems),
            Kind(keys, problems),
            keys.Text("variety", 60),
            Stage(keys, problems));
    }

    private static string Kind(SectionReader keys, ProblemList problems)
    {
        if (keys.Node("kind") is YamlScalar { Value: "plum" or "cherry" } other)
        {
            problems.Error(other, $"leaf curl of peach does not infect a {other.Value}: {(other.Value == "plum" ? "pockets on plum" : "brooms on cherry")} come from another Taphrina species, to which these rules do not apply", GardenKeys.Planting["kind"].Range);
            return other.Value;
        }

        var kind = keys.Word("kind");
        if (kind == "apricot")
            problems.Note(keys.Place("kind"), "sources disagree whether leaf curl infects apricot; the planting is judged by the rules for peach");
        return kind ?? "peach";
    }

    private static int? Stage(SectionReader keys, ProblemList problems)
    {
        if (keys.Scalar("stage") is not { Value: not "always" } scalar)
            return null;
        var key = GardenKeys.Planting["stage"];
        if (int.TryParse(scalar.Value, NumberStyles.None, CultureInfo.InvariantCulture, out var code) && code >= key.Least && code <= key.Most)
            return code;
        problems.Error(scalar, $"'stage' cannot be {ProblemList.Quote(scalar.Value)}", key.Range, NearestWord.Find(scalar.Value, ["always"]));
        return null;
    }
}
