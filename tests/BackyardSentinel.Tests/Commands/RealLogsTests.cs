using System.Text.Json;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Infection;
using BackyardSentinel.Logs;

namespace BackyardSentinel.Tests.Commands;

/// <summary>
/// Four recorded years against the answers that an independent program worked out in exact fractions: times, levels and
/// counts must be equal, sums agree to a millionth, doses to a thousandth of that.
/// </summary>
public class RealLogsTests
{
    private const double SumTolerance = 1e-6, DoseTolerance = 1e-9;

    public static TheoryData<string, int, double> Logs => new()
    {
        { "pnw14_pdx", 60, 50 },
        { "nyc13_ewr", 60, 50 },
        { "whately15", 10, 50 },
        { "sci_cpin", 60, 10 },
    };

    [Theory]
    [MemberData(nameof(Logs))]
    public void Every_wet_spell_of_a_recorded_year_is_found_with_its_sums(string log, int minutes, double wetThreshold)
    {
        var (result, expected) = Judge(log, minutes, wetThreshold);

        Assert.Equal(expected.GetProperty("rows").GetInt64(), result.Rows);
        Assert.Equal(0, result.RejectedCount);
        var spells = expected.GetProperty("spells").EnumerateArray().ToList();
        Assert.NotEmpty(spells);
        Assert.Equal(
            spells.Select(spell => (Time(spell, "start"), Time(spell, "end"))),
            result.Spells.Select(spell => (spell.Start, spell.End)));
        Assert.All(
            spells.Zip(result.Spells),
            pair =>
            {
                Assert.Equal(Figure(pair.First, "wet_hours")!.Value, pair.Second.WetHours, SumTolerance);
                Assert.Equal(Figure(pair.First, "rain_mm")!.Value, pair.Second.RainMm, SumTolerance);
                AssertNear(Figure(pair.First, "mean_temp_c"), pair.Second.MeanTempC);
                AssertNear(Figure(pair.First, "min_temp_c"), pair.Second.MinTempC);
                AssertNear(Figure(pair.First, "max_temp_c"), pair.Second.MaxTempC);
            });
    }

    [Theory]
    [MemberData(nameof(Logs))]
    public void Every_window_of_the_wet_hours_rule_opens_and_closes_with_its_dose(string log, int minutes, double wetThreshold)
    {
        var pairs = Windows(log, minutes, wetThreshold, RuleName.WetHours);

        Assert.All(pairs, pair =>
        {
            Assert.Equal(Time(pair.Expected, "closed_at"), pair.Found.ClosedAt);
            Assert.Equal(Figure(pair.Expected, "dose")!.Value, pair.Found.Dose!.Value, DoseTolerance);
            AssertNear(Figure(pair.Expected, "wet_hours"), pair.Found.WetHours);
            AssertNear(Figure(pair.Expected, "rain_mm"), pair.Found.RainMm);
            AssertNear(Figure(pair.Expected, "mean_temp_c"), pair.Found.MeanTempC);
        });
    }

    [Theory]
    [MemberData(nameof(Logs))]
    public void Every_rain_day_is_found_with_its_rain(string log, int minutes, double wetThreshold)
    {
        var pairs = Windows(log, minutes, wetThreshold, RuleName.RainDay);

        Assert.All(pairs, pair =>
        {
            var day = DateOnly.ParseExact(pair.Expected.GetProperty("date").GetString()!, "yyyy-MM-dd", CultureInfo.InvariantCulture);
            Assert.Equal(new DateTimeOffset(day.AddDays(1), TimeOnly.MinValue, TimeSpan.Zero), pair.Found.ClosedAt);
            AssertNear(Figure(pair.Expected, "rain_mm"), pair.Found.RainMm);
        });
    }

    [Theory]
    [MemberData(nameof(Logs))]
    public void Every_window_of_the_two_day_rule_opens_and_closes_with_its_hours(string log, int minutes, double wetThreshold)
    {
        var pairs = Windows(log, minutes, wetThreshold, RuleName.TwoDay);

        Assert.All(pairs, pair =>
        {
            Assert.Equal(Time(pair.Expected, "closed_at"), pair.Found.ClosedAt);
            AssertNear(Figure(pair.Expected, "hours"), pair.Found.WetHours);
        });
    }

    /// <summary>Under a name of its own, from the start or from a day in the midst of the log, with the limits that hold anyway.</summary>
    [Theory]
    [MemberData(nameof(Logs))]
    public void A_variant_with_the_published_limits_gives_exactly_the_windows_of_its_rule(string log, int minutes, double wetThreshold)
    {
        var published = Judge(log, minutes, wetThreshold).Result;
        var middle = DateOnly.FromDateTime((published.Start!.Value + ((published.End!.Value - published.Start.Value) / 2)).UtcDateTime);
        var variants = Site.PublishedRules.SelectMany(limits => new[] { DateOnly.MinValue, middle }.Select(from =>
            new RuleVariant($"{limits.Rule.Word()}-from-{from.Year}", limits.Rule, [new LimitChange(from, limits)]))).ToList();
        var result = Judge(log, minutes, wetThreshold, variants).Result;

        Assert.Equal(published.Windows, result.Windows.Where(window => RuleNames.Of(window.Rule) is not null));
        foreach (var variant in variants)
        {
            var own = published.Windows.Where(window => window.Rule == variant.Of.Word()).ToList();
            Assert.NotEmpty(own);
            Assert.Equal(
                own.Select(window => window with { Rule = variant.Name }),
                result.Windows.Where(window => window.Rule == variant.Name));
        }

        Assert.Equal(published.Changes, result.Changes);
    }

    /// <summary>Expected and found windows of one rule, which agree in number, opening and level.</summary>
    private static List<(JsonElement Expected, InfectionWindow Found)> Windows(string log, int minutes, double wetThreshold, RuleName rule)
    {
        var (result, json) = Judge(log, minutes, wetThreshold);
        var expected = json.GetProperty("windows").EnumerateArray().Where(window => window.GetProperty("rule").GetString() == rule.Word())
            .OrderBy(window => Time(window, "opened_at")).ToList();
        var found = result.Windows.Where(window => window.Rule == rule.Word()).ToList();
        Assert.NotEmpty(expected);
        Assert.Equal(
            expected.Select(window => (Time(window, "opened_at"), window.GetProperty("level").GetString())),
            found.Select(window => (window.OpenedAt, (string?)window.Level.Word())));
        return [.. expected.Zip(found)];
    }

    private static (ReplayResult Result, JsonElement Expected) Judge(
        string log, int minutes, double wetThreshold, IReadOnlyList<RuleVariant>? variants = null)
    {
        var (csv, json) = (OutsideData.Weather($"{log}.csv"), OutsideData.Weather(Path.Combine("expected", $"{log}.json")));
        if (csv is null || json is null)
            Assert.Skip(OutsideData.WeatherMissing);

        var length = TimeSpan.FromMinutes(minutes);
        var site = new Site
        {
            Id = "log",
            Step = length,
            LeafWetOn = wetThreshold,
            LeafWetOff = wetThreshold,
            Plantings = [new Planting("planting")],
            Variants = variants ?? [],
        };
        var result = Replay.Run(site, [csv], new LogOptions { Period = length, Stamp = LogStamp.Start });
        return (result, JsonDocument.Parse(File.ReadAllText(json)).RootElement);
    }

    private static DateTimeOffset Time(JsonElement element, string name) => element.GetProperty(name).GetDateTimeOffset();

    private static double? Figure(JsonElement element, string name) =>
        element.GetProperty(name) is { ValueKind: JsonValueKind.Number } number ? number.GetDouble() : null;

    private static void AssertNear(double? expected, double? actual)
    {
        Assert.Equal(expected is null, actual is null);
        if (expected is { } figure)
            Assert.Equal(figure, actual!.Value, SumTolerance);
    }
}
