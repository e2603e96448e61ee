using BackyardSentinel.Guards;
using BackyardSentinel.Sensors;
using BackyardSentinel.Units;

namespace BackyardSentinel.Tests.Configuration;

public class GoodGardenTests
{
    [Fact]
    public void Every_key_lands_where_it_belongs()
    {
        var (garden, problems) = GardenFileReader.Read(GardenFixtures.Scenario("good", "every-key.yaml"));
        Assert.NotNull(garden);
        Assert.All(problems, p => Assert.True(p.IsNote));
        Assert.Equal("Lower Field", garden.Name);
        Assert.Equal(
            new BrokerOptions
            {
                Host = "mqtt.example",
                Port = 8883,
                Username = "sentinel",
                Password = KeptValue.Parse("env:BACKYARD_SENTINEL_TEST_PASSWORD"),
                Tls = true,
                CaFile = GardenFixtures.Beside("no-such-ca.pem"),
                CertificateFile = GardenFixtures.Beside("no-such-own.pem"),
                KeyFile = GardenFixtures.Beside("no-such-own.key"),
                ClientId = "field-sentinel",
                TopicRoot = "home/sentinel",
                Homie = false,
            },
            garden.Broker);
        Assert.Equal(
            new StoreSettings { Path = GardenFixtures.Beside("data/field.db"), CommitWindow = TimeSpan.FromSeconds(90), KeepYears = 12 },
            garden.Store);
        var site = Assert.Single(garden.Sites);
        Assert.Equal(
            ["°F", "°C", "°C", "%", "fraction", "mV", "min", "raw", "count", "raw", "in", "mm", "in", "km/h", "m/s"],
            garden.Series.Select(s => s.Unit.Symbol));
        Assert.Equal(new SeriesMap
        {
            SiteId = "row-1",
            Quantity = Quantity.Temperature,
            Label = "north row",
            Topic = "row1/air",
            Path = "values[0]",
            TimePath = "data.ts",
            Zone = TimeZoneInfo.FindSystemTimeZoneById("America/Santiago"),
            UnitPath = "units.air",
            Unit = Unit.Fahrenheit,
            UnitIsStated = true,
            Scale = 0.1,
            Offset = -0.5,
            DecimalComma = true,
            BatteryPath = "sys.batt",
            BatteryLow = 2.4,
        }, garden.Series[0] with { NoReading = [] });
        Assert.Equal([-127, 85.5], garden.Series[0].NoReading);
        Assert.Equal(("s[*][1]", "s[*][0]"), (garden.Series[1].Path, garden.Series[1].TimePath));
        Assert.Equal((MessageShape.Senml, MessageShape.Text), (garden.Series[2].Shape, garden.Series[3].Shape));
        Assert.Equal(TimeSpan.FromMinutes(10), garden.Series[6].Every);
        Assert.Equal(["tropft", "on"], garden.Series[7].WetWords);
        Assert.Equal(["trocken", "off"], garden.Series[7].DryWords);
        Assert.Equal(Quantity.LeafWetnessUnderShelter, garden.Series[9].Quantity);
        Assert.Equal((true, 65536.0), (garden.Series[10].RainIsTotal, garden.Series[10].RollsOverAt));
        Assert.Equal(0, garden.Series[11].LeftOut);
        Assert.True(garden.Series[12].RainIsRate);
        Assert.Equal("field/row-1/wind", garden.Series[14].Topic);
        Assert.Equal(
            [
                new Planting("early", TreeKind.Apricot, 11) { Name = "the early one", Variety = "Dawn" },
                new Planting("late", TreeKind.Almond),
                new Planting("middle", TreeKind.Nectarine)
                {
                    ChillNeedIsUsual = false,
                    Follows = site.Plantings[2].Follows,
                    Trees = 3,
                    CanopyAreaM2 = 22.48253568,
                    SprayVolumeL = 15.141647136,
                    HadCurlLastSpring = true,
                },
            ], site.Plantings);
        var needs = site.Plantings[2].Follows!;
        Assert.Equal((ChillModel.PositiveUtah, 850, HeatFunction.Asymcur), (needs.Chill, needs.ChillNeed, needs.Heat));
        Assert.Equal(
            [(1, 900), (9, 2400.5), (10, 3600), (19, 5000)],
            needs.Stages.Select(need => (need.LeafBud!.Value.Code, need.DegreeHours)).Where(need => need.Code is 1 or 9 or 10 or 19));
        Assert.Equal((-33.5, -70.75, UnitSystem.Us, 1.1), (site.LatitudeDeg, site.LongitudeDeg, site.Units, site.SoilDensityTPerM3));
        Assert.Equal(94.488, site.AltitudeM, 6);
        var climate = DailyClimate.FromMonths(
            [13, 12.5, 11, 8, 6, 4, 3.5, 4.5, 6, 8, 10, 12],
            [30, 29.5, 27.5, 23, 18.5, 15, 15, 17, 19, 22.5, 26, 29]);
        Assert.All(
            Enumerable.Range(0, 366).Select(day => new DateOnly(2028, 1, 1).AddDays(day)),
            day =>
            {
                Assert.Equal(climate.Of(day).MinC, site.Climate!.Of(day).MinC, 1e-9);
                Assert.Equal(climate.Of(day).MaxC, site.Climate.Of(day).MaxC, 1e-9);
            });
    }

    [Fact]
    public void A_site_reaches_the_core_with_its_settings_and_its_first_wetness_sensor()
    {
        var (garden, _) = GardenFileReader.Read(GardenFixtures.Scenario("good", "every-key.yaml"));
        var site = garden!.Sites[0];
        Assert.Equal("row-1", site.Id);
        Assert.Equal("America/Santiago", site.Zone.Id);
        Assert.Equal(TimeSpan.FromMinutes(15), site.Step);
        Assert.Equal(TimeSpan.FromHours(2), site.Hold);
        Assert.Equal(TimeSpan.FromMinutes(5), site.LateAllowance);
        Assert.True(site.Spell.StartsOnAnyWetness);
        Assert.Equal(TimeSpan.FromHours(6), site.Spell.LongestGap);
        Assert.Equal(87.5, site.Spell.WetHumidityPct);
        Assert.Equal(WetnessEstimator.DewPointDepression, site.Spell.Estimator);
        Assert.Equal(TimeSpan.FromHours(3), site.UnknownAfter);
        Assert.Equal(("cool-row", RuleName.TwoDay), (site.LevelRule, site.RuleOf(site.LevelRule)));
        var (cool, old) = (site.Variants[0], site.Variants[1]);
        Assert.Equal((("cool-row", RuleName.TwoDay), ("old-orchard", RuleName.WetHours)), ((cool.Name, cool.Of), (old.Name, old.Of)));
        // 60 °F are 15.56 °C, 41 °F are 5 °C, 50 °F are 10 °C, 0.1 in are 2.54 mm, by hand.
        Assert.Equal(new LimitChange(DateOnly.MinValue, new TwoDayLimits(5, (60 - 32) / 1.8, 88, 20, 40, 2)), Assert.Single(cool.Changes));
        Assert.Equal(new LimitChange(new(2027, 3, 14), new WetHoursLimits(2.54, 10, 17, 44, 10)), Assert.Single(old.Changes));
        Assert.True(site.HasRainGauge);
        Assert.Equal((300, 500, true), (site.LeafWetOn, site.LeafWetOff, site.LeafWetInverted));
        Assert.Equal(new WetnessScale(7, 7), site.UnderShelter);
        Assert.Equal((-33.5, -70.75), (site.LatitudeDeg, site.LongitudeDeg));
        // Every need of the file, not the published default.
        Assert.False(site.Plantings[2].Follows!.IsDefault);
    }

    [Fact]
    public void A_garden_that_sets_nothing_else_has_the_documented_defaults()
    {
        var (garden, problems) = GardenFileReader.Read(GardenFixtures.Scenario("good", "smallest.yaml"));
        Assert.NotNull(garden);
        Assert.Equal(2, problems.Count);
        Assert.Equal(new BrokerOptions(), garden.Broker);
        Assert.Equal(new StoreSettings { Path = GardenFixtures.Beside("data/sentinel.db") }, garden.Store);
        var site = garden.Sites[0];
        var standard = new Site { Id = "orchard", HasRainGauge = false };
        Assert.Empty(site.Variants);
        Assert.Equal(standard with { Plantings = site.Plantings, Products = site.Products, Variants = site.Variants }, site);
    }

    [Fact]
    public void A_planting_that_sets_nothing_else_has_the_documented_defaults_and_its_stage_is_followed()
    {
        var text = File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml")) + "    plantings:\n      - {id: a, kind: peach}\n";
        var (garden, problems) = GardenFileReader.ReadText("g.yaml", text);
        Assert.Equal([new Planting("a") { Follows = StageNeeds.Default }], garden!.Sites[0].Plantings);
        Assert.Contains(problems, p => p.IsNote && p.Message.Text.StartsWith("without coordinates", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("stage: always", "chill_need: 60", "'chill_need' is not used")]
    [InlineData("stage: 9", "heat_needs: {swell: 1, green_tip: 2, first_bloom: 3, petal_fall: 4}", "'heat_needs' is not used")]
    public void Needs_of_a_stage_that_is_not_computed_are_noted(string stage, string needs, string note)
    {
        var text =
            File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml"))
            + $"    plantings:\n      - id: a\n        kind: peach\n        {stage}\n        {needs}\n";
        Assert.Contains(
            GardenFileReader.ReadText("g.yaml", text).Problems,
            p => p.IsNote && p.Message.Text.StartsWith(note, StringComparison.Ordinal));
    }

    [Fact]
    public void Defaults_read_from_an_empty_part_equal_those_of_the_records()
    {
        var (garden, _) = GardenFileReader.ReadText(
            "g.yaml",
            File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml")) + "broker: {}\nstore: {}\n");
        Assert.Equal(new BrokerOptions(), garden!.Broker);
        Assert.Equal(new StoreSettings(), garden.Store);
    }

    [Theory]
    [InlineData("wet_on: 9", 9, 9)]
    [InlineData("wet_off: 30", 50, 30)]
    [InlineData("scale: 1", 50, 20)]
    public void A_wetness_limit_left_out_follows_the_other(string key, double on, double off)
    {
        var text =
            "sites:\n  - id: a\n    series:\n      - quantity: temperature\n        topic: t\n      - quantity: "
                + $"leaf-wetness\n        topic: l\n        {key}\n";
        var site = GardenFileReader.ReadText("g.yaml", text).Garden!.Sites[0];
        Assert.Equal((on, off), (site.LeafWetOn, site.LeafWetOff));
    }

    [Fact]
    public void One_rain_gauge_may_serve_two_sites()
    {
        static string SiteText(string id) =>
            $"  - id: {id}\n    series:\n      - {{quantity: temperature, topic: {id}/t}}\n      - {{quantity: humidity, topic: "
                + $"{id}/h}}\n      - {{quantity: rain, topic: rain}}\n";
        var (garden, _) = GardenFileReader.ReadText("g.yaml", "sites:\n" + SiteText("a") + SiteText("b"));
        Assert.Equal(2, garden!.Sites.Count);
    }

    [Theory]
    [InlineData("air.temp")]
    [InlineData("values[0]")]
    [InlineData("[\"air temp\"]")]
    [InlineData("[0].temp")]
    [InlineData("a[\"b c\"][2].d-e")]
    public void A_path_in_the_documented_form_is_accepted(string path)
    {
        var text =
            "sites:\n  - id: a\n    series:\n      - quantity: temperature\n        topic: t\n        path: "
                + $"'{path}'\n      - quantity: humidity\n        topic: h\n";
        Assert.Equal(path, GardenFileReader.ReadText("g.yaml", text).Garden?.Series[0].Path);
    }

    [Theory]
    [InlineData("a..b")]
    [InlineData(".a")]
    [InlineData("a.")]
    [InlineData("a[x]")]
    [InlineData("a[0")]
    [InlineData("a[0]b")]
    [InlineData("a[\"\"]")]
    [InlineData("a.[0]")]
    public void A_path_in_another_form_is_refused(string path)
    {
        var text =
            "sites:\n  - id: a\n    series:\n      - quantity: temperature\n        topic: t\n        path: "
                + $"'{path}'\n      - quantity: humidity\n        topic: h\n";
        Assert.Contains(GardenFileReader.ReadText("g.yaml", text).Problems, p => !p.IsNote && p.Line == 6);
    }
}
