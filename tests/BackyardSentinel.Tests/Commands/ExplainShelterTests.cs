using System.Text.Json;
using static BackyardSentinel.Tests.Commands.ExplainGarden;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Explanations under a rain shelter in an invented spring: a wet night from 12 April on.</summary>
public sealed class ExplainShelterTests
{
    private static readonly DateTimeOffset Afternoon = Utc(2027, 4, 12, 14, 2);

    [Fact]
    public void It_says_since_when_it_is_on_and_what_the_open_sky_would_have_given()
    {
        using var garden = Wet(new ExplainGarden(plantings: "{ id: white-peach, kind: peach, stage: 9 }")).PutShelterOn("2027-03-01");
        var output = garden.Explain(Afternoon).Output;

        Assert.StartsWith("The rain shelter keeps rain off white-peach.\n", output, StringComparison.Ordinal);
        Assert.Contains("""
            Shelter    On since 2027-03-01, by your journal: rain does not count here until you note it off (journal add shelter off).
                       Under the open sky the level would be possible; one window has been kept off, of 2027-04-12 14:20 (rule wet-hours).

            """.ReplaceLineEndings("\n"), output, StringComparison.Ordinal);
        Assert.Contains("Nothing while the rain shelter is on;", output, StringComparison.Ordinal);

        var shelter = ShelterOf(garden);
        Assert.Equal("2027-03-01", shelter.GetProperty("on_since").GetString());
        Assert.Equal("possible", shelter.GetProperty("open_sky_level").GetString());
        Assert.Equal("2027-04-12T12:20:00Z", Assert.Single(shelter.GetProperty("kept_off").EnumerateArray()).GetString());
        Assert.Equal(JsonValueKind.Null, shelter.GetProperty("spell").ValueKind);
    }

    [Fact]
    public void It_says_what_the_sensor_under_it_says()
    {
        using var garden = new ExplainGarden(
            sensors: "temperature humidity rain leaf-wetness",
            plantings: "{ id: white-peach, kind: peach, stage: 9 }")
        {
            UnderShelter = 80,
        };
        File.WriteAllText(
            garden.Garden,
            File.ReadAllText(garden.Garden)
                .Replace("topic: garden/leaf-wetness", "topic: garden/leaf-wetness, under_shelter: true", StringComparison.Ordinal));
        var output = Wet(garden).PutShelterOn("2027-03-01").Explain(Afternoon).Output;

        Assert.Contains("The sensor under it says wet.", output, StringComparison.Ordinal);
        Assert.Contains("wet hours, rain not measured there, mean 9 °C while wet", output, StringComparison.Ordinal);
        Assert.Contains("rain in the wet spell not known, asked nothing, as no gauge tells of it: met", output, StringComparison.Ordinal);
        Assert.StartsWith("Curl weather is ", output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sensor_under_it_that_has_fallen_silent_is_named()
    {
        using var garden = new ExplainGarden(
            sensors: "temperature humidity rain leaf-wetness",
            plantings: "{ id: white-peach, kind: peach, stage: 9 }");
        File.WriteAllText(
            garden.Garden,
            File.ReadAllText(garden.Garden)
                .Replace("topic: garden/leaf-wetness", "topic: garden/leaf-wetness, under_shelter: true", StringComparison.Ordinal));
        garden
            .Weather(Utc(2027, 4, 11), Utc(2027, 4, 12), 9)
            .Weather(Utc(2027, 4, 12), Utc(2027, 4, 12, 14), 9, silent: Garden.Quantity.LeafWetnessUnderShelter)
            .PutShelterOn("2027-03-01");

        var output = garden.Explain(Afternoon).Output;

        Assert.Contains("nothing has come since of the sensor under the rain shelter.", output, StringComparison.Ordinal);
        Assert.Contains("whether it is wet there is not known", output, StringComparison.Ordinal);
    }

    [Fact]
    public void Where_none_is_on_nothing_is_said_of_it()
    {
        using var garden = Wet(new ExplainGarden());
        Assert.DoesNotContain("Shelter", garden.Explain(Afternoon).Output, StringComparison.Ordinal);
        Assert.Equal(JsonValueKind.Null, ShelterOf(garden).ValueKind);
    }

    private static ExplainGarden Wet(ExplainGarden garden) =>
        garden.Weather(Utc(2027, 4, 10), Utc(2027, 4, 12), 9).Weather(Utc(2027, 4, 12), Utc(2027, 4, 12, 14), 9, 97, 0.6);

    private static JsonElement ShelterOf(ExplainGarden garden)
    {
        using var json = JsonDocument.Parse(garden.Explain(Afternoon, "--json").Output);
        return json.RootElement.GetProperty("sites")[0].GetProperty("plantings")[0].GetProperty("shelter").Clone();
    }
}
