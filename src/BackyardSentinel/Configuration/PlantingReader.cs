using System.Globalization;
using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Phenology;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>plantings</c>.</summary>
internal static class PlantingReader
{
    private static readonly string[] ComputedOnly = ["chill_model", "chill_need", "heat_function", "heat_needs"];

    public static IReadOnlyList<GardenPlanting> ReadAll(SectionReader site, UnitSystem units, ProblemList problems)
    {
        Dictionary<string, YamlNode> ids = new(StringComparer.Ordinal);
        List<GardenPlanting> plantings = [.. site.List("plantings").Select(map => Read(map, ids, units, problems))];
        if (plantings.Count == 0 && site.Node("plantings") is null or YamlSequence { Items.Count: 0 })
            problems.Note(site.Place("plantings"), "this site has no plantings, so its weather is recorded and nothing is judged");
        return plantings;
    }

    private static GardenPlanting Read(YamlMapping map, Dictionary<string, YamlNode> ids, UnitSystem units, ProblemList problems)
    {
        SectionReader keys = new(map, PlantingKeys.Planting, problems);
        var id = IdText.Read(keys, ids, "planting", problems);
        var (source, stage) = Stage(keys, problems);
        var kind = Kind(keys, problems);
        var planting = new GardenPlanting(id, kind, keys.Text("variety"), stage)
        {
            Name = keys.Text("name"),
            StageSource = source,
            ChillModel = keys.Word("chill_model")!,
            ChillNeed = keys.Has("chill_need") ? keys.Number("chill_need") : PublishedChill.UsualOf(kind),
            ChillNeedIsUsual = !keys.Has("chill_need"),
            HeatFunction = keys.Word("heat_function")!,
            HeatNeeds = HeatNeeds(keys.Part("heat_needs"), problems),
            Trees = keys.Whole("trees"),
            CanopyAreaM2 = keys.OptionalAmount("canopy_area", Dimension.Area, units.UnitOf(Dimension.Area)),
            SprayVolumeL = keys.OptionalAmount("spray_volume", Dimension.Volume),
            HadCurlLastSpring = keys.Flag("had_curl_last_spring"),
        };
        CheckTogether(keys, planting, problems);
        return planting;
    }

    private static string Kind(SectionReader keys, ProblemList problems)
    {
        if (keys.Node("kind") is YamlScalar { Value: "plum" or "cherry" } other)
        {
            problems.Error(
                other,
                $"leaf curl of peach does not infect a {other.Value}: {(other.Value == "plum" ? "pockets on plum" : "brooms on cherry")} come from another Taphrina species, to which these rules do not apply",
                PlantingKeys.Planting["kind"].Range);
            return other.Value;
        }

        var kind = keys.Word("kind");
        if (kind == "apricot")
            problems.Note(
                keys.Place("kind"),
                "sources disagree whether leaf curl infects apricot; the planting is judged by the rules for peach");
        return kind ?? "peach";
    }

    private static (StageSource Source, int? Code) Stage(SectionReader keys, ProblemList problems)
    {
        if (keys.Scalar("stage") is not { Value: not "followed" } scalar)
            return (StageSource.Followed, null);
        if (scalar.Value == "always")
            return (StageSource.Always, null);
        var key = PlantingKeys.Planting["stage"];
        if (
            int.TryParse(scalar.Value, NumberStyles.None, CultureInfo.InvariantCulture, out var code)
            && code >= key.Least
            && code <= key.Most)
            return (StageSource.Fixed, code);
        problems.Error(
            scalar,
            $"'stage' cannot be {ProblemList.Quote(scalar.Value)}",
            key.Range,
            NearestWord.Find(scalar.Value, ["followed", "always"]));
        return (StageSource.Followed, null);
    }

    private static GardenHeatNeeds? HeatNeeds(YamlMapping? map, ProblemList problems)
    {
        if (map is null)
            return null;
        SectionReader keys = new(map, PlantingKeys.HeatNeeds, problems);
        var names = PlantingKeys.HeatNeeds.Keys.Select(k => k.Name).ToList();
        var needs = names.Select(keys.OptionalNumber).ToList();
        for (var i = 1; i < needs.Count; i++)
        {
            if (needs[i] <= needs[i - 1])
                problems.Error(
                    keys.Place(names[i]),
                    $"'{names[i]}' is not above '{names[i - 1]}', though the stage comes later",
                    PlantingKeys.HeatNeeds[names[i]].Range);
        }

        return needs.Contains(null) ? null : new GardenHeatNeeds(needs[0]!.Value, needs[1]!.Value, needs[2]!.Value, needs[3]!.Value);
    }

    private static void CheckTogether(SectionReader keys, GardenPlanting planting, ProblemList problems)
    {
        if (planting.ChillModel != "portions" && !keys.Has("chill_need"))
            problems.Error(
                keys.Place("chill_model"),
                $"this is a planting with no chill need: {planting.ChillModel} counts in units of its own, and only portions has a default",
                "'chill_need' as well, or chill_model: portions");
        if (planting.HeatFunction != "linear-4.7" && !keys.Has("heat_needs"))
            problems.Error(
                keys.Place("heat_function"),
                $"this is a planting with no heat needs: those that hold without 'heat_needs' are counted by linear-4.7, not by {planting.HeatFunction}",
                "'heat_needs' as well, or heat_function: linear-4.7");
        if (planting.StageSource != StageSource.Followed && ComputedOnly.FirstOrDefault(keys.Has) is { } unused)
            problems.Note(keys.Place(unused), $"'{unused}' is not used: the stage is computed only with stage: followed");
    }
}
