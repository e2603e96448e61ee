using System.Text.Json;
using System.Text.Json.Nodes;
using BackyardSentinel.Configuration.Keys;
using Json.Schema;
using YamlDotNet.RepresentationModel;

namespace BackyardSentinel.Tests.Configuration;

/// <summary>The key table, the schema, the example and the documentation say the same.</summary>
public class GardenDocumentTests
{
    private static readonly string SchemaText = File.ReadAllText(Path.Combine(GardenFixtures.Root, "config", "garden.schema.json"));
    private static readonly JsonSchema Schema = SchemaTests.SchemaOf(SchemaText);

    public static TheoryData<string> Sections => [.. GardenKeys.Sections.Select(s => s.Name)];

    [Theory]
    [MemberData(nameof(Sections))]
    public void The_schema_has_the_keys_words_limits_and_defaults_of_the_table(string name)
    {
        var section = GardenKeys.Sections.Single(s => s.Name == name);
        var definition = JsonNode.Parse(SchemaText)!["$defs"]![name]!;
        var properties = definition["properties"]!.AsObject();
        Assert.False(definition["additionalProperties"]!.GetValue<bool>());
        Assert.Equal(section.Keys.Select(k => k.Name), properties.Select(p => p.Key));
        Assert.Equal(
            section.Keys.Where(k => k.Required).Select(k => k.Name),
            definition["required"]?.AsArray().Select(n => n!.GetValue<string>()) ?? []);
        foreach (var key in section.Keys)
        {
            var property = properties[key.Name]!;
            Assert.Equal(key.Meaning, property["description"]!.GetValue<string>());
            Assert.Equal(key.Default, property["default"]?.ToString() ?? "");
            Assert.Equal(key.Words, (property["enum"] ?? property["items"]?["enum"])?.AsArray().Select(n => n!.GetValue<string>()) ?? []);
            if (property["minimum"] is { } least)
                Assert.Equal((key.Least, key.Most), (least.GetValue<double>(), property["maximum"]!.GetValue<double>()));
        }
    }

    [Fact]
    public void The_example_garden_is_good_and_noted_are_only_its_templates()
    {
        var (garden, problems) = GardenFileReader.Read(Path.Combine(GardenFixtures.Root, "config", "garden.yaml"));
        Assert.NotNull(garden);
        Assert.Equal(garden.Products.Count(p => p.IsTemplate), problems.Count);
        Assert.All(problems, p => Assert.EndsWith("check every figure against your label", p.Message.Text, StringComparison.Ordinal));
        Assert.True(garden.Broker.Embedded);
    }

    [Fact]
    public void Every_key_is_taken_up_by_a_reader_and_tried_in_the_garden_that_has_them_all()
    {
        var readers = string.Concat(
            Directory.EnumerateFiles(Path.Combine(GardenFixtures.Root, "src", "BackyardSentinel", "Configuration"), "*.cs")
                .Select(File.ReadAllText));
        var tried = File.ReadAllText(GardenFixtures.Scenario("good", "every-key.yaml"));
        Assert.All(
            GardenKeys.Sections.SelectMany(section => section.Keys),
            key =>
            {
                // Heat needs are read by the table itself.
                Assert.True(PlantingKeys.HeatNeeds.Keys.Contains(key) || readers.Contains($"\"{key.Name}\"", StringComparison.Ordinal));
                Assert.Matches($@"\b{key.Name}:", tried);
            });
    }

    [Fact]
    public void The_example_garden_explains_every_key()
    {
        var text = File.ReadAllText(Path.Combine(GardenFixtures.Root, "config", "garden.yaml"));
        Assert.StartsWith("# yaml-language-server: $schema=garden.schema.json\n", text, StringComparison.Ordinal);
        Assert.All(GardenKeys.Sections.SelectMany(s => s.Keys), key => Assert.Matches($@"(?m)^[ #-]*{key.Name}:", text));
    }

    [Theory]
    [InlineData("config/garden.yaml")]
    [InlineData("tests/scenarios/garden/good/every-key.yaml")]
    [InlineData("tests/scenarios/garden/good/smallest.yaml")]
    public void A_good_garden_satisfies_the_schema(string file) =>
        Assert.True(Satisfies(File.ReadAllText(Path.Combine(GardenFixtures.Root, file))));

    [Theory]
    [InlineData("unknown-top-key.yaml")]
    [InlineData("port-out-of-range.yaml")]
    [InlineData("plain-password.yaml")]
    [InlineData("topic-with-wildcard.yaml")]
    [InlineData("unit-of-another-quantity.yaml")]
    [InlineData("counts-on-temperature.yaml")]
    [InlineData("scale-zero.yaml")]
    [InlineData("planting-plum.yaml")]
    [InlineData("stage-beyond-the-scale.yaml")]
    [InlineData("commit-window-without-unit.yaml")]
    [InlineData("latitude-without-longitude.yaml")]
    [InlineData("climate-of-eleven-months.yaml")]
    [InlineData("planting-with-no-chill-need.yaml")]
    [InlineData("heat-function-without-needs.yaml")]
    [InlineData("heat-needs-incomplete.yaml")]
    [InlineData("spray-volume-without-unit.yaml")]
    [InlineData("quiet-hours-without-end.yaml")]
    [InlineData("webhook-without-url.yaml")]
    [InlineData("webhook-url-with-password.yaml")]
    [InlineData("webhook-json-without-template.yaml")]
    [InlineData("topic-destination-with-webhook-keys.yaml")]
    [InlineData("forecast-http-without-url-and-contact.yaml")]
    [InlineData("forecast-file-with-contact.yaml")]
    [InlineData("forecast-shape-without-quantities.yaml")]
    [InlineData("forecast-rain-as-instant.yaml")]
    [InlineData("forecast-unit-of-another-quantity.yaml")]
    [InlineData("product-without-active-or-template.yaml")]
    [InlineData("product-dose-without-water.yaml")]
    [InlineData("product-max-copper-without-area.yaml")]
    [InlineData("product-wind-without-unit.yaml")]
    [InlineData("product-not-on-misspelt.yaml")]
    public void What_the_reader_refuses_the_schema_refuses_in_the_editor(string name) =>
        Assert.False(Satisfies(File.ReadAllText(GardenFixtures.Scenario("bad", name))));

    private static bool Satisfies(string yaml)
    {
        YamlStream stream = [];
        stream.Load(new StringReader(yaml));
        return Schema.Evaluate(JsonSerializer.SerializeToElement(Convert(stream.Documents[0].RootNode))).IsValid;
    }

    private static JsonNode? Convert(YamlDotNet.RepresentationModel.YamlNode node) =>
        node switch
        {
            YamlMappingNode map => new JsonObject(
                map.Children.Select(c => KeyValuePair.Create(((YamlScalarNode)c.Key).Value!, Convert(c.Value)))),
            YamlSequenceNode list => new JsonArray([.. list.Children.Select(Convert)]),
            YamlScalarNode { Style: YamlDotNet.Core.ScalarStyle.Plain, Value: "true" or "false" } flag => flag.Value == "true",
            YamlScalarNode { Style: YamlDotNet.Core.ScalarStyle.Plain } scalar
                when double.TryParse(scalar.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) => number,
            YamlScalarNode scalar => scalar.Value,
            _ => throw new InvalidOperationException("The fixture holds something other than maps, lists and values."),
        };
}
