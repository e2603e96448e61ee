using System.Globalization;
using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Phenology;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>plantings</c>.</summary>
internal static class PlantingReader
{
    private static readonly string[] ComputedOnly = ["chill_model", "chill_need", "heat_function", "heat_needs"];

    public static IReadOnlyList<Planting> ReadAll(SectionReader site, UnitSystem units, Dictionary<string, YamlNode> names)
    {
        Dictionary<string, YamlNode> ids = new(StringComparer.Ordinal);
        List<Planting> plantings = [.. site.List("plantings").Select(map => Read(map, ids, names, units, site.Problems))];
        if (plantings.Count == 0 && site.Node("plantings") is null or YamlSequence { Items.Count: 0 })
            site.Problems.Note(site.Place("plantings"), $"this site has no plantings, so its weather is recorded and nothing is judged");
        return plantings;
    }

    private static Planting Read(
        YamlMapping map,
        Dictionary<string, YamlNode> ids,
        Dictionary<string, YamlNode> names,
        UnitSystem units,
        ProblemList problems)
    {
        SectionReader keys = new(map, PlantingKeys.Planting, problems);
        var id = IdText.Read(keys, ids, $"planting", problems);
        var (isFollowed, stage) = Stage(keys, problems);
        var kind = Kind(keys, problems);
        var name = keys.Text("name");
        if (name is not null && !names.TryAdd(name, keys.Place("name")))
            problems.Note(
                keys.Place("name"),
                names[name] is { File: { } file, Line: var place }
                    ? $"another planting, in line {place} of {new Name(file)}, has this name too; messages would not tell the two apart"
                    : (Sentence)$"another planting, in line {names[name].Line}, has this name too; messages would not tell the two apart",
                $"a name of its own, or no 'name' so that the id stands for it");
        var needs = Needs(keys, kind, isFollowed);
        return new Planting(id, kind, stage)
        {
            Name = name,
            Variety = keys.Text("variety"),
            Follows = isFollowed ? needs : null,
            ChillNeedIsUsual = !keys.Has("chill_need"),
            Trees = keys.Whole("trees"),
            CanopyAreaM2 = keys.OptionalAmount("canopy_area", Dimension.Area, units.UnitOf(Dimension.Area)),
            SprayVolumeL = keys.OptionalAmount("spray_volume", Dimension.Volume),
            HadCurlLastSpring = keys.Flag("had_curl_last_spring"),
        };
    }

    private static TreeKind Kind(SectionReader keys, ProblemList problems)
    {
        if (keys.Node("kind") is YamlScalar { Value: "plum" or "cherry" } other)
        {
            problems.Error(
                other,
                other.Value == "plum"
                    ? (Sentence)($"leaf curl of peach does not infect a plum: pockets on plum come from another Taphrina species, "
                        + $"to which these rules do not apply")
                    : $"leaf curl of peach does not infect a cherry: brooms on cherry come from another Taphrina species, "
                        + $"to which these rules do not apply",
                PlantingKeys.Planting["kind"].Range);
            return default;
        }

        var kind = keys.Choice<TreeKind>("kind", TreeKinds.Word);
        if (kind == TreeKind.Apricot)
            problems.Note(
                keys.Place("kind"),
                $"sources disagree whether leaf curl infects apricot; the planting is judged by the rules for peach");
        return kind ?? default;
    }

    private static (bool IsFollowed, int? Code) Stage(SectionReader keys, ProblemList problems)
    {
        if (keys.Scalar("stage") is not { Value: not "followed" } scalar)
            return (true, null);
        if (scalar.Value == "always")
            return (false, null);
        var key = PlantingKeys.Planting["stage"];
        if (
            int.TryParse(scalar.Value, NumberStyles.None, CultureInfo.InvariantCulture, out var code)
            && code >= key.Least
            && code <= key.Most)
            return (false, code);
        problems.Error(
            scalar,
            $"'stage' cannot be {ProblemList.Quote(scalar.Value)}",
            key.Range,
            NearestWord.Find(scalar.Value, ["followed", "always"]));
        return (true, null);
    }

    /// <summary>The chill and heat needs as the core counts them, where they can be.</summary>
    private static StageNeeds? Needs(SectionReader keys, TreeKind kind, bool isFollowed)
    {
        var (problems, usual) = (keys.Problems, StageNeeds.Default);
        var chill = keys.Choice<ChillModel>("chill_model", ChillModelWords.Word)!.Value;
        var heat = keys.Choice<HeatFunction>("heat_function", HeatFunctionWords.Word)!.Value;
        var chillNeed = keys.Has("chill_need") ? keys.Number("chill_need") : PublishedChill.UsualOf(kind);
        var stages = HeatNeeds(keys.Part("heat_needs"), problems);
        if (chill != usual.Chill && !keys.Has("chill_need"))
            problems.Error(
                keys.Place("chill_model"),
                $"this is a planting with no chill need: {new Name(chill.Word())} counts in units of its own, and only portions has a "
                    + $"default",
                $"'chill_need' as well, or chill_model: portions");
        if (heat != usual.Heat && !keys.Has("heat_needs"))
            problems.Error(
                keys.Place("heat_function"),
                $"this is a planting with no heat needs: those that hold without 'heat_needs' are counted by "
                    + $"linear-4.7, not by {new Name(heat.Word())}",
                $"'heat_needs' as well, or heat_function: linear-4.7");
        if (!isFollowed && ComputedOnly.FirstOrDefault(keys.Has) is { } unused)
            problems.Note(keys.Place(unused), $"{new Name($"'{unused}'")} is not used: the stage is computed only with stage: followed");
        if (stages is null && chill == usual.Chill && chillNeed == usual.ChillNeed)
            return usual;
        if (
            !StageNeeds.TryCreate(
                chill,
                chillNeed,
                heat,
                stages ?? usual.Stages,
                StageNeeds.DefaultSpread,
                out var needs,
                out var reason)
            && !problems.HasErrors)
            problems.Error(keys.Place("heat_needs"), Sentence.InEnglish(reason));
        return needs;
    }

    /// <summary>
    /// The grower names four stages; those between stand where the published needs have them. Leaf buds are paired with
    /// flower buds as there. Assumed.
    /// </summary>
    private static StageNeed[]? HeatNeeds(YamlMapping? map, ProblemList problems)
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
                    $"'{new Name(names[i])}' is not above '{new Name(names[i - 1])}', though the stage comes later",
                    PlantingKeys.HeatNeeds[names[i]].Range);
        }

        if (needs is not [{ } swell, { } greenTip, { } firstBloom, { } petalFall])
            return null;
        var bursting = swell + ((greenTip - swell) * (1385 - 786) / (2557 - 786));
        return
        [
            Need(1, 51, swell), Need(3, 53, bursting), Need(9, 57, greenTip),
            Need(10, 60, firstBloom), Need(11, 65, (firstBloom + petalFall) / 2), Need(19, 69, petalFall),
        ];
    }

    private static StageNeed Need(int leaf, int flower, double degreeHours) => new(BudStage.From(leaf), BudStage.From(flower), degreeHours);
}
