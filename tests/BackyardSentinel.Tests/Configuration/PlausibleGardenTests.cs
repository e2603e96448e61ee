using BackyardSentinel.Sensors;

namespace BackyardSentinel.Tests.Configuration;

/// <summary>What the file alone shows to be unlikely is noted, and only that.</summary>
public sealed class PlausibleGardenTests
{
    private static string Notes(string place, string leaf)
    {
        var path = Path.Combine(Directory.CreateTempSubdirectory("sentinel-plausible-").FullName, "garden.yaml");
        File.WriteAllText(
            path,
            $"broker: {{ embedded: true }}\nsites:\n  - {{ id: yard, {place}, series: [{{ quantity: temperature, topic: t }}, "
                + $"{{ quantity: rain, topic: r }}, {leaf}], plantings: [{{ id: peach, kind: peach, stage: 9 }}] }}\n");
        var (garden, problems) = GardenFileReader.Read(path);
        Directory.Delete(Path.GetDirectoryName(path)!, true);
        Assert.NotNull(garden);
        return string.Join('\n', problems.Select(problem => problem.Message));
    }

    [Theory]
    [InlineData("Old Peach", "old peach", true)]
    [InlineData("old peach", "young peach", false)]
    public void Two_plantings_of_one_name_are_noted(string one, string other, bool noted)
    {
        var text =
            File.ReadAllText(GardenFixtures.Scenario("good", "smallest.yaml"))
            + $"    plantings:\n      - {{id: a, kind: peach, name: {one}}}\n      - {{id: b, kind: peach, name: {other}}}\n";
        var (garden, problems) = GardenFileReader.ReadText("g.yaml", text);
        Assert.NotNull(garden);
        Assert.Equal(
            noted, problems.Any(problem => problem.Message.Text.StartsWith("another planting, in line", StringComparison.Ordinal)));
    }

    private const string Percent = "{ quantity: leaf-wetness, topic: w, unit: '%' }";

    [Theory]
    [InlineData("America/Los_Angeles", 122.6, true)]
    [InlineData("America/Los_Angeles", -122.6, false)]
    [InlineData("Europe/Madrid", -9, false)]
    [InlineData("Pacific/Auckland", -179, false)]
    [InlineData("Asia/Shanghai", 76, false)]
    public void A_longitude_that_contradicts_the_zone_is_noted(string zone, double longitude, bool noted) =>
        Assert.Equal(
            noted,
            Notes(FormattableString.Invariant($"zone: {zone}, latitude: 45, longitude: {longitude}"), Percent)
                .Contains("hours from noon of the zone", StringComparison.Ordinal));

    [Theory]
    [InlineData("{ quantity: leaf-wetness, topic: w, unit: count }", true)]
    [InlineData("{ quantity: leaf-wetness, topic: w, unit: count, wet_on: 7 }", false)]
    [InlineData(Percent, false)]
    public void Counts_without_a_limit_are_noted(string leaf, bool noted) =>
        Assert.Equal(noted, Notes("zone: UTC", leaf).Contains("counts without 'wet_on'", StringComparison.Ordinal));

    [Fact]
    public void Two_scales_of_leaf_wetness_are_noted() =>
        Assert.Contains(
            "different units",
            Notes(
                "zone: UTC",
                "{ quantity: leaf-wetness, topic: w, unit: count, wet_on: 7 }, { quantity: leaf-wetness, topic: v, unit: '%' }"),
            StringComparison.Ordinal);

    [Theory]
    [InlineData("NA")]
    [InlineData("None")]
    [InlineData("unavailable")]
    [InlineData("NAN")]
    [InlineData("--")]
    public void A_mark_for_no_value_is_the_same_in_messages_and_logs(string mark)
    {
        Assert.True(NumberReader.IsMissing(mark));
        Assert.Equal(NumberOutcome.NoReading, NumberReader.Read(mark).Outcome);
    }
}
