using AngleSharp.Dom;

namespace BackyardSentinel.Web;

/// <summary>What the page of sensors makes of a week: values that leapt, and hours in which nothing came.</summary>
public sealed class SensorsWeekTests
{
    private static readonly DateTimeOffset Morning = new(2027, 3, 4, 5, 40, 0, TimeSpan.Zero);

    [Fact]
    public async Task A_value_that_leapt_is_never_the_last_one_nor_in_the_day_of_its_series()
    {
        await using var house = await PageHouse.OpenAsync(new PageGarden
        {
            Now = Morning,
            Past =
            [
                .. PageGarden.Weather(Morning.AddMinutes(-20), 30, airC: 8.9, humidityPct: 90),
                PageGarden.Message(
                    "garden/climate", $"{{\"at\":{Morning.AddMinutes(-10).ToUnixTimeSeconds()},\"air\":48.9,\"humidity\":90}}"),
            ],
        });

        var air = (await house.GetAsync("/sensors")).QuerySelector(".ser")!;

        Assert.Contains("8.9 °C", Text(air.QuerySelector(".val")!), StringComparison.Ordinal);
        Assert.Contains("20 min ago", Text(air), StringComparison.Ordinal);
        Assert.Equal("24 hours up to now: 8.9 °C to 8.9 °C", Text(air.QuerySelector("figcaption")!));
        Assert.DoesNotContain("48.9 °C to", Text(air), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Hours_of_the_last_week_in_which_a_series_said_nothing_are_listed_and_rain_is_quiet_when_it_is_dry()
    {
        await using var house = await PageHouse.OpenAsync(new PageGarden
        {
            Now = Morning,
            Past =
            [
                .. PageGarden.Weather(Morning.AddDays(-8), 24, airC: 6), .. PageGarden.Weather(Morning.AddDays(-3), 24, airC: 7),
                .. PageGarden.Weather(Morning.AddMinutes(-5), 48, airC: 8),
            ],
        });

        var rows = (await house.GetAsync("/sensors")).QuerySelectorAll("main > .scroll tbody tr")
            .Select(row => string.Join(" | ", row.Children.Select(Text)))
            .ToList();

        Assert.Equal(
            [
                "Temperature | before | Sun 28 February, 06:40",
                "Temperature | Mon 1 March, 06:40 | Tue 2 March, 06:35",
                "Humidity | before | Sun 28 February, 06:40",
                "Humidity | Mon 1 March, 06:40 | Tue 2 March, 06:35",
            ],
            rows);
    }

    private static string Text(IElement element) =>
        string.Join(' ', element.TextContent.Replace('\u00a0', ' ').Split((char[])[' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
}
