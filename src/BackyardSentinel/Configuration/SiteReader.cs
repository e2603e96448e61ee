using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>sites</c> and checks what only shows when keys are seen together.</summary>
/// <param name="units">The garden's units.</param>
/// <param name="variants">The rules of the garden's own.</param>
/// <param name="ruleNames">The names under which the file has rules of its own, sound or not.</param>
/// <param name="shared">The series that every site has.</param>
/// <param name="problems">Where problems go.</param>
internal sealed class SiteReader(
    UnitSystem units,
    IReadOnlyList<RuleVariant> variants,
    IReadOnlyCollection<string> ruleNames,
    IReadOnlyList<PlacedSeries> shared,
    ProblemList problems)
{
    private readonly Dictionary<string, YamlNode> _siteIds = new(StringComparer.Ordinal);
    private readonly Dictionary<string, YamlNode> _plantingNames = new(StringComparer.OrdinalIgnoreCase);
    private readonly List<PlacedSeries> _all = [];

    /// <summary>The series of all sites that were read.</summary>
    public IReadOnlyList<SeriesMap> Series => [.. _all.Select(placed => placed.Series)];

    /// <summary>One site, without its products.</summary>
    public Site Read(YamlMapping map)
    {
        SectionReader keys = new(map, SiteKeys.Site, problems);
        var id = IdText.Read(keys, _siteIds, $"site", problems);
        if (id is "state" or "alert" or "alert-path" or "influx" or "answer")
            problems.Error(
                keys.Place("id"),
                $"the site id '{new Name(id)}' is taken: the program publishes its own messages under that topic",
                $"another id");
        var seriesMaps = keys.List("series");
        List<PlacedSeries> own = [.. seriesMaps.Select(m => SeriesReader.Read(m, problems)).OfType<PlacedSeries>()];
        var placed = Of(id, own.Concat(shared));
        if (placed.Count == 0 && !keys.Has("series"))
            problems.Error(map, $"this site has no 'series', and there are none for all sites", keys.Range("series"));
        _all.AddRange(placed);
        PlacedSeries? First(Quantity quantity) => placed.FirstOrDefault(one => one.Series.Quantity == quantity);
        var leaf = First(Quantity.LeafWetness)?.Leaf;
        var site = new Site
        {
            Id = id,
            Zone = Zone(keys),
            LatitudeDeg = keys.OptionalNumber("latitude"),
            LongitudeDeg = keys.OptionalNumber("longitude"),
            AltitudeM = keys.OptionalAmount("altitude", Dimension.Height, units.UnitOf(Dimension.Height)) ?? 0,
            SoilDensityTPerM3 = keys.Number("soil_density"),
            Climate = ClimateReader.Read(keys, units, problems),
            Units = units,
            Step = DurationText.Parse(keys.Word("step")!)!.Value,
            Hold = keys.Duration("hold"),
            LateAllowance = keys.Duration("late_allowance"),
            Spell = new WetSpellLimits(
                keys.Duration("dry_gap").TotalHours,
                startsOnAnyWetness: keys.Word("start_on") == "wet",
                wetHumidityPct: keys.Number("wet_humidity"),
                estimator: keys.Choice<WetnessEstimator>("wetness_estimator", WetnessEstimatorWords.Word)!.Value),
            UnknownAfter = keys.Duration("unknown_after"),
            Variants = variants,
            LevelRule = LevelRule(keys),
            HasRainGauge = First(Quantity.Rain) is not null,
            RainUnitStated = placed.Exists(one => one.Series is { Quantity: Quantity.Rain, UnitIsStated: true }),
            UnderShelter = First(Quantity.LeafWetnessUnderShelter)?.Leaf,
            Plantings = PlantingReader.ReadAll(keys, units, _plantingNames),
        };
        // A site has one pair of wetness limits: those of its preferred sensor.
        if (leaf is { } scale)
            site = site with
            {
                LeafWetOn = scale.On,
                LeafWetOff = scale.Off,
                LeafWetInverted = scale.Inverted,
                LeafWetIsShare = scale.IsShare,
            };
        // With a broken series among them, "there is no humidity series" might be untrue.
        if (placed.Count > 0 && own.Count == seriesMaps.Count)
            CheckSensors(keys, id, placed);
        CheckDuplicates(placed);
        PlaceCheck.Check(keys, site, problems);
        if (site.UnknownAfter < site.Step + site.LateAllowance)
            problems.Error(
                keys.Place("unknown_after"),
                $"'unknown_after' is shorter than 'step' and 'late_allowance' together, so the level would be unknown most of the time",
                $"a longer 'unknown_after', at least step + late_allowance");
        return site;
    }

    /// <summary>One number may serve two sites (a rain gauge does), but only as the same quantity.</summary>
    public void CheckAcrossSites(OwnTopics own)
    {
        Dictionary<(string, string?), PlacedSeries> first = [];
        foreach (var placed in _all)
        {
            if (
                !first.TryAdd((placed.Series.Topic, placed.Series.Path), placed)
                && first[(placed.Series.Topic, placed.Series.Path)] is var earlier
                && earlier.Series.Quantity != placed.Series.Quantity
                && earlier.Series.SiteId != placed.Series.SiteId)
                problems.Error(
                    placed.Place,
                    $"this number is already read as another quantity in {earlier.Place.Where}; it cannot be both",
                    $"another topic or path");
            own.CheckSensor(placed.Series.Topic, placed.Place, problems);
        }
    }

    /// <summary>The series with the site that they are of and their rank there: of a quantity the first is preferred.</summary>
    private static List<PlacedSeries> Of(string site, IEnumerable<PlacedSeries> series)
    {
        Dictionary<Quantity, int> ranks = [];
        List<PlacedSeries> placed = [];
        foreach (var one in series)
        {
            var rank = ranks[one.Series.Quantity] = ranks.GetValueOrDefault(one.Series.Quantity, -1) + 1;
            var topic = one.Series.Topic.Replace(TopicText.Site, site, StringComparison.Ordinal);
            placed.Add(one with { Series = one.Series with { SiteId = site, Topic = topic, Rank = rank } });
        }

        return placed;
    }

    private TimeZoneInfo Zone(SectionReader keys)
    {
        if (!keys.Has("zone") && keys.Node("level_rule") is YamlScalar { Value: "rain-day" })
            problems.Note(keys.Place("level_rule"), $"the rule rain-day counts local days, and without 'zone' they are days in UTC");
        return ZoneKeys.Read(keys, problems) ?? TimeZoneInfo.Utc;
    }

    private string LevelRule(SectionReader keys)
    {
        var name = keys.Text("level_rule")!;
        List<string> names = [.. RuleNames.Words, .. ruleNames.Distinct()];
        if (names.Contains(name))
            return name;
        problems.Error(
            keys.Place("level_rule"),
            $"'level_rule' cannot be {ProblemList.Quote(name)}",
            ruleNames.Count == 0 ? keys.Range("level_rule") : $"one of {Sentence.Names(names)}",
            NearestWord.Find(name, names));
        return name;
    }

    private void CheckSensors(SectionReader keys, string site, List<PlacedSeries> placed)
    {
        bool Has(Quantity quantity) => placed.Exists(one => one.Series.Quantity == quantity);
        var place = keys.Place("series");
        if (!Has(Quantity.Temperature))
            problems.Error(
                place,
                $"site '{new Name(site)}' has no temperature series, and no infection can be judged without temperature",
                $"a series with quantity: temperature");
        if (!Has(Quantity.Humidity) && !Has(Quantity.LeafWetness))
            problems.Error(
                place,
                Has(Quantity.LeafWetnessUnderShelter)
                    ? (Sentence)($"site '{new Name(site)}' has neither a humidity nor a leaf-wetness series, so wet leaves cannot be told "
                        + $"from dry ones; one under the rain shelter says nothing of the open sky")
                    : $"site '{new Name(site)}' has neither a humidity nor a leaf-wetness series, so wet leaves cannot be told "
                        + $"from dry ones",
                $"a series with quantity: humidity or leaf-wetness");
        if (Has(Quantity.LeafWetness) && !Has(Quantity.Humidity) && (keys.Has("wetness_estimator") || keys.Has("wet_humidity")))
            problems.Note(
                keys.Place(keys.Has("wetness_estimator") ? "wetness_estimator" : "wet_humidity"),
                $"without a humidity series this is not used; the leaf-wetness sensor alone decides");
        if (placed.Where(one => one.Series.Quantity == Quantity.LeafWetness).Select(one => one.Series.Unit).Distinct().Count() > 1)
            problems.Note(
                place,
                $"the leaf-wetness series of site {new Name($"'{site}'")} have different units, but the limits of the first hold for "
                    + $"all: bring them to one scale with 'scale' and 'offset'");
        if (!Has(Quantity.Rain))
            problems.Note(
                place,
                $"site {new Name($"'{site}'")} has no rain series: any wetness starts a wet spell and the amount of rain is not asked "
                    + $"for, so there will be more alerts");
    }

    private void CheckDuplicates(List<PlacedSeries> placed)
    {
        Dictionary<(string, string?), Sentence> places = [];
        foreach (var one in placed)
        {
            var key = (one.Series.Topic, one.Series.Path);
            if (!places.TryAdd(key, one.Place.Where))
                problems.Error(
                    one.Place,
                    $"topic and path are those of the series in {places[key]}; one number cannot be two series of a site",
                    $"another topic or another path");
        }
    }
}
