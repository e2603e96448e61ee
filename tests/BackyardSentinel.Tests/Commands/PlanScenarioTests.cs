using System.Text.Json;
using BackyardSentinel.Commands;

namespace BackyardSentinel.Tests.Commands;

/// <summary>
/// Whole plans of invented gardens, word for word. The texts are the program's own, read over by eye; what they rest on
/// is checked where it is computed, and the checks below hold the parts that matter against the trade's rules.
/// <c>BACKYARD_SENTINEL_WRITE=1</c> writes them anew, and their difference is what changed.
/// </summary>
public sealed class PlanScenarioTests
{
    public static TheoryData<string> Names => [.. PlanRun.Scenarios];

    [Theory]
    [MemberData(nameof(Names))]
    public void The_text_and_the_messages_are_as_written_down(string scenario)
    {
        var (code, output, error) = PlanRun.Run(PlanRun.Arguments(scenario));
        var said = $"{output}\n--- messages\n{error}--- exit code {code}\n";
        Assert.Equal(Kept(scenario, "expected.txt", said), said);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void The_json_is_as_written_down_and_holds_the_keys_of_the_contract(string scenario)
    {
        var output = Json(scenario);
        Assert.Equal(Kept(scenario, "expected.json", output), output);

        using var json = JsonDocument.Parse(output);
        string[] first = ["as_of", "answer", "safety", "forecast", "plantings", "slots", "refused"];
        Assert.Equal(first, json.RootElement.EnumerateObject().Take(7).Select(key => key.Name));
        foreach (var planting in json.RootElement.GetProperty("plantings").EnumerateArray())
            Assert.Equal(
                ["planting", "stage", "bud_swell", "cover", "sheltered_since", "due", "copper"],
                planting.EnumerateObject().Select(key => key.Name));
        foreach (var slot in json.RootElement.GetProperty("slots").EnumerateArray())
            Assert.Equal(["planting", "product", "start", "end", "rank", "reasons"], slot.EnumerateObject().Select(key => key.Name));
        foreach (var span in json.RootElement.GetProperty("refused").EnumerateArray())
            Assert.Equal(["planting", "product", "start", "end", "reason"], span.EnumerateObject().Select(key => key.Name));
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void No_slot_holds_a_refused_hour(string scenario)
    {
        using var json = JsonDocument.Parse(Json(scenario));
        var refused = json.RootElement.GetProperty("refused").EnumerateArray().ToList();
        foreach (var slot in json.RootElement.GetProperty("slots").EnumerateArray())
        {
            Assert.DoesNotContain(refused, span => Same(span, slot)
                && span.GetProperty("start").GetDateTimeOffset() < slot.GetProperty("end").GetDateTimeOffset()
                && span.GetProperty("end").GetDateTimeOffset() > slot.GetProperty("start").GetDateTimeOffset());
        }

        static bool Same(JsonElement one, JsonElement other) =>
            one.GetProperty("planting").GetString() == other.GetProperty("planting").GetString()
            && one.GetProperty("product").GetString() == other.GetProperty("product").GetString();
    }

    [Theory]
    [InlineData("peach-in-january", "white-peach", "winter-copper", 3)]
    [InlineData("southern-garden", "white-peach", "winter-copper", 3)]
    [InlineData("without-a-forecast", "white-peach", "winter-copper", 0)]
    [InlineData("year-old-forecast", "white-peach", "winter-copper", 0)]
    [InlineData("error-page-for-a-forecast", "white-peach", "winter-copper", 0)]
    [InlineData("forecast-of-another-zone", "white-peach", "winter-copper", 0)]
    // University of California apricot tables: sulfur hurts apricot at any stage; on peach it is allowed.
    [InlineData("apricot-and-lime-sulfur", "gate-apricot", "winter-lime", 0)]
    [InlineData("apricot-and-lime-sulfur", "white-peach", "winter-lime", 3)]
    // University of California timing table: nothing sprayed once leaves are open works.
    [InlineData("after-bud-swell", "white-peach", "winter-copper", 0)]
    [InlineData("while-buds-swell", "white-peach", "winter-lime", 0)]
    // The label's own limits.
    [InlineData("over-the-labels-copper", "white-peach", "winter-copper", 0)]
    public void There_are_slots_exactly_where_there_may_be(string scenario, string planting, string product, int least)
    {
        using var json = JsonDocument.Parse(Json(scenario));
        var slots = json.RootElement.GetProperty("slots").EnumerateArray()
            .Count(slot => slot.GetProperty("planting").GetString() == planting && slot.GetProperty("product").GetString() == product);
        if (least == 0)
            Assert.Equal(0, slots);
        else
            Assert.True(slots >= least, $"{slots} slots");
    }

    [Fact]
    public void The_copper_is_what_a_grower_reckons_by_hand()
    {
        // 7 L × 5 g/L × 50 % = 17.5 g; over 14 m² that is 1.25 g/m² or 12.5 kg/ha; 14 m² × 0.2 m × 1.3 t/m³ = 3640 kg of soil.
        using var json = JsonDocument.Parse(Json("peach-in-january"));
        var copper = json.RootElement.GetProperty("plantings")[0].GetProperty("copper");
        Assert.Equal(17.5, copper.GetProperty("season_g").GetDouble(), 6);
        Assert.Equal(12.5, copper.GetProperty("season_kg_per_ha").GetDouble(), 6);
        Assert.Equal(17500.0 / 3640, copper.GetProperty("soil_mg_per_kg").GetDouble(), 4);
    }

    [Fact]
    public void After_the_labels_days_slots_come_back()
    {
        // 14 days after 5 January is the 19th, which begins at 23:00 UTC on the 18th in Ljubljana.
        using var json = JsonDocument.Parse(Json("too-soon-after-the-last"));
        var from = new DateTimeOffset(2027, 1, 18, 23, 0, 0, TimeSpan.Zero);
        var starts = json
            .RootElement.GetProperty("slots")
            .EnumerateArray()
            .Select(slot => slot.GetProperty("start").GetDateTimeOffset())
            .ToList();
        Assert.NotEmpty(starts);
        Assert.All(starts, start => Assert.True(start >= from));
    }

    private static string Kept(string scenario, string file, string said)
    {
        var path = Path.Combine(PlanRun.Root, scenario, file);
        if (Environment.GetEnvironmentVariable("BACKYARD_SENTINEL_WRITE") == "1")
            File.WriteAllText(path, said);
        return File.ReadAllText(path);
    }

    private static string Json(string scenario)
    {
        var (code, output, _) = PlanRun.Run([.. PlanRun.Arguments(scenario), "--json"]);
        Assert.True(code is ExitCode.Done or ExitCode.Findings);
        return output;
    }
}
