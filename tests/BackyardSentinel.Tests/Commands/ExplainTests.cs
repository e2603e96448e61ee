using System.Text.Json;
using System.Text.RegularExpressions;
using BackyardSentinel.Commands;
using BackyardSentinel.Commands.Explain;
using BackyardSentinel.Commands.Fit;
using BackyardSentinel.Infection;
using static BackyardSentinel.Tests.Commands.ExplainGarden;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Explanations of an invented spring: dry, sixteen wet hours in the night to 12 April, then warm and dry.</summary>
public sealed partial class ExplainTests : IDisposable
{
    private const string Building = """
        A wet spell is building up on white-peach, and nothing is infected yet.

        south-wall/white-peach on 2027-04-12 06:32 (Europe/Ljubljana)
        Level      ▁ building (1) since 2027-04-12 00:00, by the rule wet-hours; 53 % of the least it asks for is reached.
        Stage      BBCH 60, first flowers open; computed for 2027-04-08, at the earliest 2027-03-27, at the latest 2027-04-09.
                   Leaf buds: open. They began to swell on 2027-01-09 at the earliest and 2027-03-25 at the latest.
                   Chill 19.1 of 62.5 chill portions; the days have grown so long that warmth counts without it since 2027-03-28; warmth 4436 degree hours, of 4767 for BBCH 11 (first leaves unfolded).
                   3337 hours of this winter's chill were not measured; the span allows for all that they can have brought.
        Tissue     Fully open: from bud swell until the petals are down.
        Rules      wet-hours, which drives the level: building
                     rain in the wet spell 2.8 mm, asked at least 3 mm: not met, 0.2 mm more
                     wet hours 6.7 h, asked at least 12.5 h: not met, 5.9 h more
                     mean temperature while wet 9 °C, asked below 16 °C: met
                   rain-day: clear
                     rain of the local day 2.6 mm, asked more than 10 mm: not met, 7.4 mm more
                     highest temperature of the local day 9 °C, asked above 5 °C: met
                   two-day: clear
                     hours at 8 to 16 °C wet or at 90 % humidity, breaks up to 1 h 6.7 h, asked at least 24 h: not met, 17.4 h more
        Cover      none: no spray that gives cover is in the journal of white-peach.
        Change     0.2 mm more rain and 5.9 more wet hours at a mean below 16 °C open a window; warming to 16 °C or above keeps it shut.
                   Drying for more than 4 h ends the spell: past 2027-04-12 10:30 if nothing is wet until then.
                   Petal fall (BBCH 69) halves what a window counts.

        south-wall
        Wet spell  Since 2027-04-11 23:50: 6.7 wet hours, 2.8 mm of rain, mean 9 °C while wet (9 to 9 °C).
        Readings   temperature 9 °C at 2027-04-12 06:30, 2 min old
                   humidity 97 % at 2027-04-12 06:30, 2 min old
                   rain 0.2 mm at 2027-04-12 06:30, 2 min old


        """;

    private static readonly DateTimeOffset Dawn = Utc(2027, 4, 12, 4, 32), After = Utc(2027, 4, 23);

    private readonly ExplainGarden _garden = Spring(new ExplainGarden(), 2027);

    public void Dispose() => _garden.Dispose();

    [Fact]
    public void While_a_wet_spell_builds_every_figure_and_what_is_missing_is_shown()
    {
        var (code, output, error) = _garden.Explain(Dawn, "--planting", "white-peach");

        Assert.Equal((ExitCode.Done, ""), (code, error));
        // Rules beyond these have their lines before those of the cover.
        var cover = Building.IndexOf("Cover  ", StringComparison.Ordinal);
        Assert.StartsWith(Building[..cover].ReplaceLineEndings("\n"), output, StringComparison.Ordinal);
        Assert.EndsWith(Building[cover..].ReplaceLineEndings("\n"), output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_past_moment_is_explained_as_it_was_then() =>
        Assert.Equal(_garden.Explain(Dawn).Output, _garden.Explain(After, "--at", "2027-04-12 06:32").Output);

    // The limits are those of Rossi et al. 2006 (12.5 h, 3 mm) and the days those of Giosuè et al. 2000 (20 to 27, 9 to 33).
    [Fact]
    public void An_open_window_its_days_of_curl_and_what_would_raise_it_are_told()
    {
        var (_, output, _) = _garden.Explain(After, "--at", "2027-04-12T13:00:00Z", "--planting", "white-peach");

        Assert.Contains("Level      ▃ possible (2) since 2027-04-12 12:20, by the rule wet-hours.\n", output, StringComparison.Ordinal);
        Assert.Contains(
            "Window     Open since 2027-04-12 12:20 by wet-hours: possible; cover then: none.\n",
            output,
            StringComparison.Ordinal);
        Assert.Contains(
            "curl likely from 2027-05-02 to 2027-05-09, possible from 2027-04-21 to 2027-05-15",
            output,
            StringComparison.Ordinal);
        Assert.Contains("9.5 more wet hours at this mean make it likely (assumed curve).\n", output, StringComparison.Ordinal);
        var rule = new WetHoursRule("tree");
        // The same by the rule's own arithmetic: 24.5 h at 9 °C are likely, 24.3 h are not yet.
        Assert.Equal(Level.Likely, WetHoursRule.LevelOf(rule.WetnessResponse(24.5) * rule.TemperatureResponse(9)));
        Assert.Equal(Level.Possible, WetHoursRule.LevelOf(rule.WetnessResponse(24.3) * rule.TemperatureResponse(9)));
    }

    [Fact]
    public void After_petal_fall_fruit_and_a_warm_incubation_are_told()
    {
        var (_, output, _) = _garden.Explain(After, "--planting", "white-peach");

        Assert.Contains("Declining: the petals are down", output, StringComparison.Ordinal);
        Assert.Contains(
            "Fruit      No wet spell runs; young fruit takes 12 mm of rain and 24 wet hours at a mean below 17 °C.\n",
            output,
            StringComparison.Ordinal);
        Assert.Contains("It may not develop: a day's mean came to 19 °C.\n", output, StringComparison.Ordinal);
    }

    [Fact]
    public void The_json_has_the_same_facts()
    {
        var (code, output, _) = _garden.Explain(Dawn, "--planting", "white-peach", "--json");
        using var json = JsonDocument.Parse(output);
        var site = Assert.Single(json.RootElement.GetProperty("sites").EnumerateArray().ToList());
        var tree = Assert.Single(site.GetProperty("plantings").EnumerateArray().ToList());

        Assert.Equal(ExitCode.Done, code);
        Assert.Equal("2027-04-12T04:32:00Z", json.RootElement.GetProperty("as_of").GetString());
        Assert.Equal(
            ("building", 1, "2027-04-11T22:00:00Z"),
            (tree.GetProperty("level").GetString(), tree.GetProperty("level_number").GetInt32(), tree.GetProperty("since").GetString()));
        Assert.Equal(2.8, site.GetProperty("spell").GetProperty("rain_mm").GetDouble(), 9);
        var wet = tree.GetProperty("rules")[0].GetProperty("conditions")[1];
        Assert.Equal(12.5, wet.GetProperty("value").GetDouble() + wet.GetProperty("short").GetDouble(), 2);
        foreach (
            var sentence in tree.GetProperty("change")
                .EnumerateArray()
                .Concat(tree.GetProperty("stage").GetProperty("because").EnumerateArray()))
            Assert.Contains(sentence.GetString()!, Building, StringComparison.Ordinal);
    }

    // The last values, of 03:30 UTC, hold for an hour and a half; the rain told at 07:00 fell in the ten minutes before.
    [Fact]
    public void Hours_of_a_wet_spell_in_which_nothing_was_measured_are_told()
    {
        using var gap = new ExplainGarden();
        gap.Weather(Utc(2027, 4, 1), Utc(2027, 4, 3), 9)
            .Weather(Utc(2027, 4, 3), Utc(2027, 4, 3, 4), 9, humidityPct: 97, rainMmPerHour: 0.4)
            .Weather(Utc(2027, 4, 3, 7), Utc(2027, 4, 3, 10), 9, humidityPct: 97, rainMmPerHour: 0.4);
        var (_, output, _) = gap.Explain(Utc(2027, 4, 3, 10), "--planting", "gate-nectarine");

        Assert.Contains("; of 1.8 h in it nobody knows whether they were wet.", output, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_two_sensors_that_measure_the_same_the_one_that_cannot_be_right_is_named()
    {
        using var garden = new ExplainGarden("temperature humidity leaf-wetness rain") { LeafWetness = 95 };
        var file = File.ReadAllText(garden.Garden);
        File.WriteAllText(
            garden.Garden,
            file.Replace(
                "series: [",
                "series: [{ quantity: leaf-wetness, topic: garden/corroded, name: the old one }, ",
                StringComparison.Ordinal));
        garden.Weather(Utc(2027, 4, 1), Utc(2027, 4, 4), 9, humidityPct: 45);
        var (_, output, _) = garden.Explain(Utc(2027, 4, 4), "--planting", "gate-nectarine");

        Assert.Contains("the old one: leaf wetness 95", output, StringComparison.Ordinal);
        Assert.Contains("garden/leaf-wetness: leaf wetness 95", output, StringComparison.Ordinal);
    }

    [Fact]
    public void Silent_sensors_make_it_unknown_and_say_since_when()
    {
        using var silent = new ExplainGarden();
        silent
            .Weather(Utc(2027, 4, 1), Utc(2027, 4, 3), 9)
            .Weather(Utc(2027, 4, 3), Utc(2027, 4, 4), 9, silent: [Quantity.Temperature, Quantity.Humidity]);
        var (code, output, _) = silent.Explain(Utc(2027, 4, 4), "--planting", "gate-nectarine");

        Assert.Equal(ExitCode.Done, code);
        Assert.Contains(
            "Level      ? unknown since 2027-04-03 03:00: neither temperature nor anything that tells of wetness has come since.\n",
            output,
            StringComparison.Ordinal);
        Assert.Contains(
            "Nothing has come of temperature since 2027-04-03 01:30; its last value no longer stands for the weather.\n",
            output,
            StringComparison.Ordinal);
        Assert.Contains(
            "Readings of temperature and of rain, humidity or leaf wetness end the unknown.\n",
            output,
            StringComparison.Ordinal);
    }

    [Fact]
    public void A_garden_without_rain_gauge_coordinates_and_journal_says_so()
    {
        using var bare = new ExplainGarden("temperature humidity", "");
        bare.Weather(Utc(2027, 1, 20), Utc(2027, 1, 22), 9, 95).Weather(Utc(2027, 1, 22), Utc(2027, 1, 23), 9);
        var (_, output, _) = bare.Explain(Utc(2027, 1, 22), "--planting", "white-peach");

        Assert.Contains("There is no rain gauge: wetness alone starts a wet spell", output, StringComparison.Ordinal);
        Assert.Contains("asked nothing, as no gauge tells of it: met\n", output, StringComparison.Ordinal);
        Assert.Contains("There are no coordinates", output, StringComparison.Ordinal);
        Assert.Contains("Nothing is in the journal of white-peach", output, StringComparison.Ordinal);
        Assert.Contains("Counted as fully open, because the stage is unknown.\n", output, StringComparison.Ordinal);
        Assert.Contains(
            "asked nothing, as no gauge tells of it: met\n",
            bare.Explain(Utc(2027, 1, 23), "--planting", "white-peach").Output,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("2027-01-01 15:00", "is before the first reading of south-wall, which came on 2027-03-20 01:00")]
    [InlineData("2027-04-23 18:00", "is still to come")]
    [InlineData("yesterday", "\"yesterday\" is no time; write it like 2027-04-12T06:30")]
    [InlineData("2027-03-28 02:30", "the clocks of Europe/Ljubljana skip 2027-03-28 02:30")]
    public void A_time_that_cannot_be_explained_gets_one_sentence(string at, string why)
    {
        var (code, output, error) = _garden.Explain(After, "--at", at);

        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        Assert.Contains(why, error, StringComparison.Ordinal);
        Assert.Single(error.TrimEnd('\n').Split('\n'));
    }

    [Fact]
    public void An_empty_store_and_an_unknown_planting_say_what_to_do()
    {
        using var empty = new ExplainGarden();
        var (code, _, error) = empty.Explain(After);
        Assert.Equal(ExitCode.BadInput, code);
        Assert.Contains("so there is nothing to explain; start 'run' with this garden file", error, StringComparison.Ordinal);
        Assert.False(File.Exists(empty.Store));

        empty.Saw("2027-03-25", 9);
        Assert.Contains("has no reading of south-wall yet", empty.Explain(After).Error, StringComparison.Ordinal);
        using (var store = SentinelStore.Open(empty.Store))
            store.SeriesId("south-wall/temperature/attic/t");
        Assert.Contains(
            "has readings of south-wall/temperature/attic/t, which the garden file does not have, and none of the series that it has of "
                + "south-wall.",
            empty.Explain(After).Error,
            StringComparison.Ordinal);
        Assert.Equal(
            "The garden file has no planting old-plum; it has south-wall/white-peach, south-wall/gate-nectarine.\n",
            empty.Explain(After, "--planting", "old-plum").Error);
    }

    [Fact]
    public void A_journal_file_takes_the_place_of_the_stored_journal()
    {
        var file = Path.Combine(_garden.Folder, "journal.jsonl");
        File.WriteAllText(file, """{"on":"2027-04-10","planting":"white-peach","kind":"stage","code":1}""" + "\n");
        var (code, output, _) = _garden.Explain(Dawn, "--planting", "white-peach", "--journal", file);

        Assert.Equal(ExitCode.Done, code);
        Assert.Contains(
            "BBCH 01, leaf buds begin to swell; seen by you on 2027-04-10 (journal entry 1).\n",
            output,
            StringComparison.Ordinal);
    }

    [Fact]
    public void The_pages_name_exactly_the_options_that_the_commands_have()
    {
        Assert.Equal(Has(ExplainCommand.Create(TimeProvider.System)), Named("explain.md"));
        Assert.Equal(Has(FitCommand.Create(TimeProvider.System)), Named("fit.md"));

        static IEnumerable<string> Has(System.CommandLine.Command command) =>
            command.Options.Select(option => option.Name).Except(["--help"]).Order(StringComparer.Ordinal);

        static IEnumerable<string> Named(string page) =>
            OptionName()
                .Matches(File.ReadAllText(Checkout.Path("docs", page)))
                .Select(match => match.Groups[1].Value)
                .Distinct()
                .Order(StringComparer.Ordinal);
    }

    internal static ExplainGarden Spring(ExplainGarden garden, int year) => garden
        .Weather(Utc(year, 3, 20), Utc(year, 4, 11, 22), 9)
        .Weather(Utc(year, 4, 11, 22), Utc(year, 4, 12, 14), 9, 97, 0.4)
        .Weather(Utc(year, 4, 12, 14), Utc(year, 4, 23), 20)
        .Saw($"{year}-03-25", 9);

    [GeneratedRegex(@"`(--[a-z-]+)")]
    private static partial Regex OptionName();
}
