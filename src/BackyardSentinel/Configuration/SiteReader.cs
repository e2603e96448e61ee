using BackyardSentinel.Configuration.Keys;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Configuration.Yaml;
using BackyardSentinel.Garden;
using BackyardSentinel.Units;

namespace BackyardSentinel.Configuration;

/// <summary>Reads the entries of <c>sites</c> and checks what only shows when keys are seen together.</summary>
/// <param name="units">The garden's units.</param>
/// <param name="shared">The series that every site has.</param>
/// <param name="problems">Where problems go.</param>
internal sealed class SiteReader(UnitSystem units, IReadOnlyList<PlacedSeries> shared, ProblemList problems)
{
    private readonly Dictionary<string, YamlNode> _siteIds = new(StringComparer.Ordinal);
    private readonly List<(string Site, PlacedSeries Series)> _all = [];

    public GardenSite Read(YamlMapping map)
    {
        SectionReader keys = new(map, SiteKeys.Site, problems);
        var id = IdText.Read(keys, _siteIds, "site", problems);
        if (id is "state" or "alert" or "alert-path" or "answer")
            problems.Error(
                keys.Place("id"),
                $"the site id '{id}' is taken: the program publishes its own messages under that topic",
                "another id");
        var seriesMaps = keys.List("series");
        List<PlacedSeries> own = [.. seriesMaps.Select(m => SeriesReader.Read(m, problems)).OfType<PlacedSeries>()];
        List<PlacedSeries> placed = [.. own.Concat(shared).Select(one => one with { Series = Named(one.Series, id) })];
        if (placed.Count == 0 && !keys.Has("series"))
            problems.Error(map, "this site has no 'series', and there are none for all sites", keys.Range("series"));
        _all.AddRange(placed.Select(s => (id, s)));
        var climate = ClimateReader.Read(keys, units, problems);
        var site = new GardenSite
        {
            Id = id,
            Zone = Zone(keys),
            LatitudeDeg = keys.OptionalNumber("latitude"),
            LongitudeDeg = keys.OptionalNumber("longitude"),
            AltitudeM = keys.OptionalAmount("altitude", Dimension.Height, units.UnitOf(Dimension.Height)),
            SoilDensityTPerM3 = keys.Number("soil_density"),
            ClimateMinC = climate.MinC,
            ClimateMaxC = climate.MaxC,
            Units = units,
            Step = DurationText.Parse(keys.Word("step")!)!.Value,
            Hold = keys.Duration("hold"),
            LateAllowance = keys.Duration("late_allowance"),
            StartsOnAnyWetness = keys.Word("start_on") == "wet",
            WetHumidityPct = keys.Number("wet_humidity"),
            Estimator = Estimator(keys.Word("wetness_estimator")!),
            UnknownAfter = keys.Duration("unknown_after"),
            LevelRule = RuleNames.Of(keys.Word("level_rule")!) ?? RuleName.WetHours,
            Series = [.. placed.Select(s => s.Series)],
            Plantings = PlantingReader.ReadAll(keys, units, problems),
        };
        // With a broken series among them, "there is no humidity series" might be untrue.
        if (placed.Count > 0 && own.Count == seriesMaps.Count)
            CheckSensors(keys, site);
        CheckDuplicates(placed);
        PlaceCheck.Check(keys, site, problems);
        if (site.UnknownAfter < site.Step + site.LateAllowance)
            problems.Error(
                keys.Place("unknown_after"),
                "'unknown_after' is shorter than 'step' and 'late_allowance' together, so the level would be unknown most of the time",
                "a longer 'unknown_after', at least step + late_allowance");
        return site;
    }

    /// <summary>One number may serve two sites (a rain gauge does), but only as the same quantity.</summary>
    public void CheckAcrossSites(OwnTopics own)
    {
        Dictionary<(string, string?), (string Site, PlacedSeries Series)> first = [];
        foreach (var (site, placed) in _all)
        {
            if (
                !first.TryAdd((placed.Series.Topic, placed.Series.Path), (site, placed))
                && first[(placed.Series.Topic, placed.Series.Path)] is var earlier
                && earlier.Series.Series.Quantity != placed.Series.Quantity
                && earlier.Site != site)
                problems.Error(
                    placed.Place,
                    $"this number is already read as another quantity in line {earlier.Series.Place.Line}; it cannot be both",
                    "another topic or path");
            own.CheckSensor(placed.Series.Topic, placed.Place, problems);
        }
    }

    private static GardenSeries Named(GardenSeries series, string id) =>
        series.Topic.Contains(TopicText.Site, StringComparison.Ordinal)
            ? series with { Topic = series.Topic.Replace(TopicText.Site, id, StringComparison.Ordinal) }
            : series;

    private TimeZoneInfo Zone(SectionReader keys)
    {
        if (!keys.Has("zone") && keys.Node("level_rule") is YamlScalar { Value: "rain-day" })
            problems.Note(keys.Place("level_rule"), "the rule rain-day counts local days, and without 'zone' they are days in UTC");
        return ZoneKeys.Read(keys, problems) ?? TimeZoneInfo.Utc;
    }

    private void CheckSensors(SectionReader keys, GardenSite site)
    {
        bool Has(Quantity quantity) => site.Series.Any(s => s.Quantity == quantity);
        var place = keys.Place("series");
        if (!Has(Quantity.Temperature))
            problems.Error(
                place,
                $"site '{site.Id}' has no temperature series, and no infection can be judged without temperature",
                "a series with quantity: temperature");
        if (!Has(Quantity.Humidity) && !Has(Quantity.LeafWetness))
            problems.Error(
                place,
                $"site '{site.Id}' has neither a humidity nor a leaf-wetness series, so wet leaves cannot be told from dry ones{(Has(Quantity.LeafWetnessUnderShelter) ? "; one under the rain shelter says nothing of the open sky" : "")}",
                "a series with quantity: humidity or leaf-wetness");
        if (Has(Quantity.LeafWetness) && !Has(Quantity.Humidity) && (keys.Has("wetness_estimator") || keys.Has("wet_humidity")))
            problems.Note(
                keys.Place(keys.Has("wetness_estimator") ? "wetness_estimator" : "wet_humidity"),
                "without a humidity series this is not used; the leaf-wetness sensor alone decides");
        if (site.Series.Where(s => s.Quantity == Quantity.LeafWetness).Select(s => s.Unit).Distinct().Count() > 1)
            problems.Note(
                place,
                $"the leaf-wetness series of site '{site.Id}' have different units, but the limits of the first hold for all: bring them to one scale with 'scale' and 'offset'");
        if (!Has(Quantity.Rain))
            problems.Note(
                place,
                $"site '{site.Id}' has no rain series: any wetness starts a wet spell and the amount of rain is not asked for, so there will be more alerts");
    }

    private void CheckDuplicates(List<PlacedSeries> placed)
    {
        Dictionary<(string, string?), int> lines = [];
        foreach (var one in placed)
        {
            var key = (one.Series.Topic, one.Series.Path);
            if (!lines.TryAdd(key, one.Place.Line))
                problems.Error(
                    one.Place,
                    $"topic and path are those of the series in line {lines[key]}; one number cannot be two series of a site",
                    "another topic or another path");
        }
    }

    private static WetnessEstimator Estimator(string word) => word switch
    {
        "extended-threshold" => WetnessEstimator.ExtendedThreshold,
        "dew-point-depression" => WetnessEstimator.DewPointDepression,
        "classification-tree" => WetnessEstimator.ClassificationTree,
        _ => WetnessEstimator.HumidityThreshold,
    };
}
