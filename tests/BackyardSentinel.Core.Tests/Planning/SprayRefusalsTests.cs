using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

// Every limit here is a label's; the days between oil and sulfur are cautious common practice, no source.
public class SprayRefusalsTests
{
    [Fact]
    public void Products_that_must_not_follow_each_other_are_called_by_what_works_in_them()
    {
        Assert.Equal(
            "sulfur was sprayed on 5 Jan: 30 days between sulfur and oil, not before 4 Feb",
            Only(Refused(Bare(), Oil, Spray(1, "2027-01-05", "lime-sulfur"))).Reason.Text);
        Assert.Equal(
            "oil was sprayed on 5 Jan: 30 days between sulfur and oil, not before 4 Feb",
            Only(Refused(Bare(), LimeSulfur, Spray(1, "2027-01-05", "oil"))).Reason.Text);
        var captan = new SprayProduct { Id = "captan", Name = "captan", Active = ActiveIngredient.Captan, DosePerL = 2 };
        Assert.StartsWith(
            "oil was sprayed on 18 Jan: 14 days between captan and oil",
            Only(Refused(Bare(), captan, Spray(1, "2027-01-18", "oil"))).Reason.Text,
            StringComparison.Ordinal);
    }

    [Fact]
    public void Only_what_was_sprayed_on_the_tree_itself_and_so_lately_keeps_them_apart()
    {
        Assert.Empty(Refused(Bare(), Oil, Spray(1, "2027-01-05", "lime-sulfur", planting: "gate-nectarine")));
        Assert.Empty(Refused(Bare(), Oil, Spray(1, "2026-12-21", "lime-sulfur"))); // The thirtieth day is today.
        Assert.Equal(
            new DateTimeOffset(2027, 1, 21, 0, 0, 0, TimeSpan.Zero),
            Only(Refused(Bare(), Oil, Spray(1, "2026-12-22", "lime-sulfur"))).To);
        Assert.Empty(Refused(Bare(), Oil, Spray(1, "2027-01-21", "lime-sulfur"))); // Tomorrow's entry has not happened.
    }

    // By hand: 5 L at 4 g/L of half copper are 10 g, on 10 m² 10 kg/ha.
    [Theory]
    [InlineData(10, null)]
    [InlineData(9.9, "one spray brings 10 kg/ha of copper, and of the label's 9.9 kg/ha in a season 9.9 are left")]
    public void The_spray_that_is_planned_counts_against_the_labels_copper(double mostKgPerHa, string? reason)
    {
        var product = Copper with { Label = new() { MaxCopperKgPerHaPerSeason = mostKgPerHa } };

        Assert.Equal(reason, Refused(Bare() with { SprayVolumeL = 5 }, product).SingleOrDefault()?.Reason.Text);
        // Without the volume used nothing is known of it.
        Assert.Empty(Refused(Bare(), product));
    }

    [Fact]
    public void What_is_used_up_is_said_to_be()
    {
        var copper = Copper with { Label = new() { MaxCopperKgPerHaPerSeason = 10 } };
        Assert.Equal(
            "the label's 10 kg/ha of copper in a season are used up",
            Only(Refused(Bare() with { SprayVolumeL = 5 }, copper, Spray(1, "2027-01-05"))).Reason.Text);
        Assert.Empty(Refused(Bare(), copper, Spray(1, "2027-01-05", volumeL: 4.9)));

        var twice = Copper with { Label = new() { MaxApplicationsPerSeason = 2 } };
        Assert.Empty(Refused(Bare(), twice, Spray(1, "2026-12-05")));
        Assert.Equal(
            "all 2 applications that the label allows in a season are used",
            Only(Refused(Bare(), twice, Spray(1, "2026-12-05"), Spray(2, "2026-12-25"))).Reason.Text);
    }

    [Theory]
    [InlineData(0, "stage 00 is before the label's first stage 01")]
    [InlineData(1, null)]
    [InlineData(3, null)]
    [InlineData(9, "stage 09 is after the label's last stage 03")]
    public void A_labels_stages_hold_at_both_ends(int stage, string? reason)
    {
        var product = new SprayProduct
        {
            Id = "captan",
            Name = "captan",
            Active = ActiveIngredient.Captan,
            DosePerL = 2,
            Label = new() { FirstStage = 1, LastStage = 3 },
        };

        Assert.Equal(reason, Refused(Bare(stage), product).SingleOrDefault()?.Reason.Text);
    }

    [Fact]
    public void Lime_sulfur_is_refused_from_the_early_date_within_the_plan_and_another_product_is_not()
    {
        var soon = Bare() with { BudSwell = Swell with { Early = Today.AddDays(4) } };

        var refused = Only(Refused(soon, LimeSulfur));
        Assert.Equal((new DateTimeOffset(2027, 1, 24, 0, 0, 0, TimeSpan.Zero), Now.AddDays(10)), (refused.From, refused.To));
        Assert.Empty(Refused(soon, Copper));
        Assert.Empty(Refused(Bare(), LimeSulfur)); // The early date lies beyond the ten days.
    }

    [Theory]
    [InlineData(45, false)]
    [InlineData(45.1, true)]
    [InlineData(-45, false)]
    [InlineData(-170, true)]
    public void A_longitude_three_hours_from_its_zone_cannot_be_meant(double longitudeDeg, bool contradicts) =>
        Assert.Equal(contradicts, Daylight.Contradicts(longitudeDeg, TimeZoneInfo.Utc));

    [Fact]
    public void A_wind_at_a_limit_is_within_it()
    {
        const double mph = 0.44704;
        Assert.Empty(Faults(3 * mph));
        Assert.Empty(Faults(8 * mph));
        Assert.Equal([(HourReason.WindHigh, false)], Faults(10 * mph));
        Assert.Equal([(HourReason.WindLow, false)], Faults(2 / 3.6));
        Assert.Equal([(HourReason.WindLow, true)], Faults((2 / 3.6) - 0.01));
        Assert.Equal([(HourReason.WindHigh, true)], Faults((10 * mph) + 0.01));

        static IEnumerable<(HourReason, bool)> Faults(double windMs) =>
            Weather((_, hour) => hour with { WindMs = windMs }).Judge(Now.AddHours(30)).Select(fault => (fault.Reason, fault.Blocks));
    }

    [Fact]
    public void Where_the_forecast_ends_the_hours_after_are_said_to_lack()
    {
        var weather = Weather((_, hour) => hour, hours: 40);

        Assert.Contains(
            weather.Judge(Now.AddHours(39)),
            fault => fault.Blocks && fault.Sentence.Text.Contains("the rain of the hours after", StringComparison.Ordinal));
        // Four dry hours are known, and a day is better.
        Assert.Contains(
            weather.Judge(Now.AddHours(35)),
            fault => !fault.Blocks && fault.Sentence.Text.Contains("the rain of the hours after", StringComparison.Ordinal));
    }

    private static SprayWeather Weather(Func<int, ForecastHour, ForecastHour> change, int hours = 264) =>
        (Request(Bare(), Copper) with { ObservedRain = [] }).WeatherFor(Copper, Fair(change, hours).Hours);

    private static RefusedSpray Only(IReadOnlyList<RefusedSpray> refused) => Assert.Single(refused);

    private static IReadOnlyList<RefusedSpray> Refused(PlanPlanting planting, SprayProduct product, params SprayEntry[] sprays) =>
        SprayPlanner.Plan(Request(planting, product, sprays)).Refused;
}
