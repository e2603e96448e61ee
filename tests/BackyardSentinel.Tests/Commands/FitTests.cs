using System.Text.Json;
using System.Text.RegularExpressions;
using BackyardSentinel.Commands;
using static BackyardSentinel.Tests.Commands.ExplainGarden;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Heat needs fitted to stages of invented years; the fit itself is checked against a station's record in Core.</summary>
public sealed partial class FitTests : IDisposable
{
    private static readonly DateTimeOffset Now = Utc(2027, 6, 1);

    private readonly ExplainGarden _garden = new(plantings: "{ id: white-peach, kind: peach }");

    public void Dispose() => _garden.Dispose();

    [Fact]
    public void Two_years_give_needs_that_can_be_pasted_into_the_garden_file()
    {
        _garden.Weather(Utc(2025, 10, 1), Now, Season).Saw("2026-04-10", 65).Saw("2027-04-16", 65);
        var (code, output, error) = _garden.Fit(Now, "--planting", "white-peach");
        Assert.Equal((ExitCode.Done, ""), (code, error));
        Assert.Contains(
            "white-peach: BBCH 65 (full bloom, first petals fall) was seen in 2 seasons: 2026-04-10, 2027-04-16\n",
            output,
            StringComparison.Ordinal);
        Assert.Contains("when each is predicted from the others", output, StringComparison.Ordinal);

        // The lines, pasted as they are, make a good garden file whose full bloom needs what was fitted.
        var lines = output[output.IndexOf("        chill_model:", StringComparison.Ordinal)..];
        var file = Path.Combine(_garden.Folder, "pasted.yaml");
        File.WriteAllText(
            file,
            $"broker: {{ embedded: true }}\nsites:\n  - id: south-wall\n    latitude: 46.05\n    longitude: "
                + $"14.51\n    series:\n      - {{ quantity: temperature, topic: t }}\n      - {{ quantity: humidity, topic: "
                + $"h }}\n    plantings:\n      - id: white-peach\n        kind: peach\n{lines}");
        var (pasted, problems) = GardenFileReader.Read(file);
        Assert.True(pasted is not null, string.Join('\n', problems));
        var needs = pasted.Sites[0].Plantings[0].Follows!;
        var fitted = double.Parse(HeatNeed().Match(output).Groups[1].Value, CultureInfo.InvariantCulture);
        Assert.Equal(fitted, needs.Stages.Single(need => need.FlowerBud?.Code == 65).DegreeHours, 1.5);
    }

    [Fact]
    public void Json_tells_the_same_by_its_schema()
    {
        _garden.Weather(Utc(2022, 10, 1), Now, Season);
        _garden.Saw("2023-04-12", 65).Saw("2024-04-11", 65).Saw("2025-04-13", 65).Saw("2026-05-10", 65).Saw("2027-04-12", 65);
        var (_, text, _) = _garden.Fit(Now);
        var (code, json, error) = _garden.Fit(Now, "--json");
        Assert.Equal((ExitCode.Findings, ""), (code, error));
        Assert.True(SchemaTests.Holds("fit", json), json);

        var fit = JsonDocument.Parse(json).RootElement;
        Assert.Equal(double.Parse(HeatNeed().Match(text).Groups[1].Value, CultureInfo.InvariantCulture), Figure("heat_need"), 0.51);
        Assert.Contains(FormattableString.Invariant($"typical error {Figure("error_days"):0.0} days"), text, StringComparison.Ordinal);
        Assert.Equal((4, "white-peach"), (fit.GetProperty("seasons").GetInt32(), fit.GetProperty("planting").GetString()));
        Assert.Equal(["2023-04-12", "2024-04-11", "2025-04-13", "2026-05-10", "2027-04-12"],
            fit.GetProperty("seen").EnumerateArray().Select(day => day.GetString()));
        var aside = Assert.Single(fit.GetProperty("set_aside").EnumerateArray());
        Assert.Equal(("2026-05-10", 28), (aside.GetProperty("seen").GetString(), aside.GetProperty("days_off").GetInt32()));

        double Figure(string name) => fit.GetProperty(name).GetDouble();
    }

    [Theory]
    [InlineData(65, "This stage is in the journal for 1 season; a fit takes 2 or more.")]
    [InlineData(60, "This stage is in the journal for 0 seasons; a fit takes 2 or more.")]
    [InlineData(8, "stone fruit has no BBCH code 8")]
    [InlineData(75, "the needs have no stage 75; choose one of 01, 03, 09, 10, 11, 19, 51, 53, 57, 60, 65, 69")]
    public void Too_little_to_go_by_is_refused_with_the_reason(int stage, string why)
    {
        _garden.Weather(Utc(2027, 3, 1), Utc(2027, 3, 2), 9).Saw("2027-04-16", 65);
        var (code, output, error) = _garden.Fit(Now, "--stage", stage.ToString(CultureInfo.InvariantCulture));

        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        Assert.Contains(why, error, StringComparison.Ordinal);
    }

    [Fact]
    public void Years_without_their_hours_are_refused()
    {
        _garden.Weather(Utc(2026, 10, 1), Now, Season).Saw("2026-04-10", 65).Saw("2027-04-16", 65);

        Assert.Contains("Of the hours from 2025-11-01 to 2026-04-10 too few are known", _garden.Fit(Now).Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_spring_that_does_not_agree_is_named_with_its_days_and_left_out_of_the_need()
    {
        _garden.Weather(Utc(2022, 10, 1), Now, Season);
        _garden.Saw("2023-04-12", 65).Saw("2024-04-11", 65).Saw("2025-04-13", 65).Saw("2027-04-12", 65);
        var (_, before, _) = _garden.Fit(Now);
        var (code, output, _) = _garden.Saw("2026-05-10", 65).Fit(Now);

        Assert.Equal(ExitCode.Findings, code);
        foreach (
            var part in new[]
            {
                "seen in 5 seasons: 2023-04-12, 2024-04-11, 2025-04-13, 2026-05-10, 2027-04-12\n",
                "set aside: Seen on 2026-05-10, 28 days after the day that the other seasons give (2026-04-12)",
            })
            Assert.Contains(part, output, StringComparison.Ordinal);
        Assert.Contains("portions, from 4 seasons\n", output, StringComparison.Ordinal);
        Assert.Equal(HeatNeed().Match(before).Value, HeatNeed().Match(output).Value);
    }

    /// <summary>A thermometer that says °F where °C was meant is doubted from its first day on: its winter is not known.</summary>
    [Fact]
    public void The_hours_of_a_series_that_is_doubted_do_not_count()
    {
        _garden
            .Weather(Utc(2025, 10, 1), Utc(2025, 11, 1), Season)
            .Weather(Utc(2025, 11, 1), Utc(2026, 4, 10), at => (Season(at) * 9 / 5) + 32)
            .Weather(Utc(2026, 4, 10), Now, Season)
            .Saw("2026-04-10", 65)
            .Saw("2027-04-16", 65);

        Assert.Contains("Of the hours from 2025-11-01 to 2026-04-10 too few are known", _garden.Fit(Now).Error, StringComparison.Ordinal);
    }

    internal static double Season(DateTimeOffset at) =>
        11 - (9 * Math.Cos(2 * Math.PI * (at.DayOfYear - 20) / 365.25)) + (5 * Math.Sin(2 * Math.PI * (at.Hour - 9) / 24.0));

    [GeneratedRegex("heat need ([0-9]+) degree hours")]
    private static partial Regex HeatNeed();
}
