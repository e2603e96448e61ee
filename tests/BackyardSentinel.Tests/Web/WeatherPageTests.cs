namespace BackyardSentinel.Web;

/// <summary>The page Weather over a garden that is really judged.</summary>
public sealed class WeatherPageTests
{
    [Theory]
    [InlineData("2027-03-04T07:20:00Z")]
    [InlineData("2027-03-03T23:01:00Z")] // A minute past midnight there: the last interval is still of the day before.
    public async Task Time_that_was_measured_is_nowhere_drawn_as_unknown(string now)
    {
        var at = DateTimeOffset.Parse(now, CultureInfo.InvariantCulture);
        await using var house = await PageHouse.OpenAsync(
            new PageGarden
            {
                Now = at,
                Past = [.. PageGarden.Weather(new DateTimeOffset(2027, 3, 3, 23, 0, 0, TimeSpan.Zero).AddHours(at.Hour == 7 ? 8 : 0), 96)],
            });

        foreach (var days in new[] { 3, 7 })
        {
            var page = await house.GetAsync($"/weather?days={days}");
            var gaps = page.QuerySelectorAll("svg.strip rect.gap").Length;

            // Of four days three are all there, and of seven the first ones are not.
            Assert.Equal(days == 3 ? 0 : 1, Math.Min(gaps, 1));
        }
    }

    [Theory]
    [InlineData("0")]
    [InlineData("-7")]
    [InlineData("999999999999")]
    [InlineData("seven")]
    [InlineData("<script>")]
    public async Task A_number_of_days_that_is_none_of_the_choices_is_the_usual_one(string days)
    {
        await using var house = await PageHouse.OpenAsync(PageStates.All["clear"]);

        var page = await house.GetAsync("/weather?days=" + Uri.EscapeDataString(days));

        Assert.Equal("7 days", page.QuerySelector(".pick b")!.TextContent);
    }

    [Fact]
    public async Task A_silence_is_drawn_as_unknown_through_all_lanes_and_told()
    {
        var now = new DateTimeOffset(2027, 3, 4, 7, 20, 0, TimeSpan.Zero);
        ArrivedMessage[] past = [.. PageGarden.Weather(now.AddHours(-30), 60), .. PageGarden.Weather(now, 20)];
        await using var house = await PageHouse.OpenAsync(new PageGarden { Now = now, Past = past });

        var page = await house.GetAsync("/weather?days=3");

        Assert.NotEmpty(page.QuerySelectorAll("svg.strip rect.gap"));
        Assert.Contains("that time is unknown, not dry", page.QuerySelector("main")!.TextContent, StringComparison.Ordinal);
    }
}
