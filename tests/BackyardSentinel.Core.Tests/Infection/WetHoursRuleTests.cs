namespace BackyardSentinel.Tests.Infection;

public class WetHoursRuleTests
{
    private static readonly WetHoursRule Published = new("tree");

    // The curve is assumed. Its anchors are those of Rossi et al. 2006 (minimum 12.5 h, asymptote from 48 h); 0.050 at
    // the minimum and 0.950 at the asymptote are the assumption, the rest is worked out from it.
    [Theory]
    [InlineData(0, 0)]
    [InlineData(12.4, 0)]
    [InlineData(12.5, 0.050)]
    [InlineData(15, 0.074)]
    [InlineData(18, 0.116)]
    [InlineData(24, 0.262)]
    [InlineData(30, 0.490)]
    [InlineData(36, 0.722)]
    [InlineData(48, 0.950)]
    [InlineData(72, 0.999)]
    public void The_wetness_response_passes_through_its_check_values(double wetHours, double response) =>
        Assert.Equal(response, Published.WetnessResponse(wetHours), 3);

    // Assumed likewise, 0.950 at 8 °C; 16 °C is the published gate.
    [Theory]
    [InlineData(3, 0.999)]
    [InlineData(5, 0.994)]
    [InlineData(8, 0.950)]
    [InlineData(10, 0.813)]
    [InlineData(12, 0.500)]
    [InlineData(14, 0.187)]
    [InlineData(15, 0.099)]
    [InlineData(15.9, 0.054)]
    [InlineData(16, 0)]
    [InlineData(25, 0)]
    public void The_temperature_response_passes_through_its_check_values(double meanTempC, double response) =>
        Assert.Equal(response, Published.TemperatureResponse(meanTempC), 3);

    // The bands are assumed.
    [Theory]
    [InlineData(0, Level.Possible)]
    [InlineData(0.2499, Level.Possible)]
    [InlineData(0.25, Level.Likely)]
    [InlineData(0.6999, Level.Likely)]
    [InlineData(0.70, Level.Severe)]
    [InlineData(1, Level.Severe)]
    public void A_dose_belongs_to_one_band(double dose, Level level) => Assert.Equal(level, WetHoursRule.LevelOf(dose));

    [Theory]
    [InlineData(15, 0.2)]
    [InlineData(10, 0.3)]
    [InlineData(12, 0.25)]
    public void Tips_of_a_gauge_add_up_to_three_millimetres(int tips, double tipMm)
    {
        var diary = new Diary();
        for (var i = 0; i < tips; i++)
            diary.Wet(1.0 / 6, rainMm: tipMm);

        Assert.Equal(Some.At(12.5), Assert.Single(diary.Wet(12.5 - (tips / 6.0)).Replayed().Opened()).OpenedAt);
    }

    [Fact]
    public void Ten_tips_of_three_tenths_would_fall_short_without_the_rounding() =>
        Assert.True(Enumerable.Repeat(0.3, 10).Aggregate(0.0, (sum, tip) => sum + tip) < new WetHoursLimits().MinRainMm);

    [Fact]
    public void The_window_opens_when_the_last_of_its_conditions_is_met()
    {
        // The third millimetre comes in the twentieth hour.
        var rain = Assert.Single(new Diary().Wet(20, rainMm: 2).Wet(4, rainMm: 1).Replayed().Opened());
        Assert.Equal(Some.Clock(20, 10), rain.OpenedAt);

        // Twenty hours at 17 °C and then 12 °C: the mean passes below 16 °C after five hours more.
        var cool = Assert.Single(new Diary().Wet(20, tempC: 17, rainMm: 5).Wet(8, tempC: 12).Replayed().Opened());
        Assert.Equal(Some.Clock(25, 10), cool.OpenedAt);
    }

    [Fact]
    public void A_window_keeps_its_highest_dose_though_the_mean_rises()
    {
        var seen = new Diary().Wet(24, tempC: 8, rainMm: 5).Wet(24, tempC: 20).Dry(6).Replayed();

        var highest = Enumerable
            .Range(75, 144 + 144 - 75 + 1)
            .Select(n => n / 6.0)
            .Max(hours =>
                Published.WetnessResponse(hours)
                * Published.TemperatureResponse(hours <= 24 ? 8 : ((8 * 24) + (20 * (hours - 24))) / hours));
        var window = Assert.Single(seen.Closed());
        Assert.Equal(highest, window.Dose!.Value, 9);
        Assert.Equal(14, window.MeanTempC!.Value, 9);
        Assert.Equal(Some.At(48), window.ClosedAt);
    }

    [Fact]
    public void A_window_closes_at_the_end_of_the_spell_which_is_known_four_hours_later()
    {
        var seen = new Diary().Wet(20, rainMm: 5).Dry(4).Live();
        Assert.Empty(seen.Closed());
        Assert.NotEmpty(seen.Risk.OpenWindows);

        var later = new Diary().Wet(20, rainMm: 5).Dry(4.5).Live();
        Assert.Equal(Some.At(20), Assert.Single(later.Closed()).ClosedAt);
        Assert.Equal(Level.Clear, later.Risk.Level);
    }

    [Fact]
    public void While_it_builds_the_level_says_how_much_of_the_minimum_is_reached()
    {
        Assert.Equal((Level.Building, 0.5), Standing(new Diary().Wet(6.25 + (1.0 / 12), rainMm: 3), 0.5));
        Assert.Equal((Level.Building, 1.0 / 3), Standing(new Diary().Wet(10, rainMm: 1), 1.0 / 3));

        static (Level, double) Standing(Diary diary, double expected)
        {
            var risk = diary.Live().Risk;
            Assert.Equal(expected, risk.FractionReached!.Value, 0.01);
            return (risk.Level, expected);
        }
    }

    // BBCH of stone fruit after Meier et al. 1994. Bud swell as the beginning: Rutgers Cooperative Extension 2012; petal
    // fall as the end of the worst time: Rossi et al. 2006; one half after it is assumed.
    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 1)]
    [InlineData(9, 1)]
    [InlineData(69, 1)]
    [InlineData(71, 0.5)]
    public void The_bud_stage_scales_the_dose_and_dormant_buds_open_nothing(int stage, double factor)
    {
        var windows = new Diary().Wet(24, tempC: 8, rainMm: 5).Replayed(Some.Garden(stage)).Closed();

        if (factor == 0)
            Assert.Empty(windows);
        else
            Assert.Equal(
                factor * Published.WetnessResponse(24) * Published.TemperatureResponse(8),
                Assert.Single(windows).Dose!.Value,
                9);
    }

    [Fact]
    public void Rain_on_dormant_buds_builds_nothing()
    {
        var seen = new Diary().Wet(10, rainMm: 5).Live(Some.Garden(stage: 0));

        Assert.Equal((Level.Clear, null), (seen.Risk.Level, seen.Risk.FractionReached));
    }

    /// <summary>So many more wet hours as are told bring the next level, and a step less does not.</summary>
    [Fact]
    public void The_wet_hours_that_a_level_lacks_are_told_to_the_tenth()
    {
        var site = Some.Garden();
        foreach (var step in Enumerable.Range(6 * 13, 6 * 36))
        {
            var seen = new Diary().Wet(step / 6.0, tempC: 8, rainMm: 10).Live(site);
            if (seen.Risk.Level == Level.Severe)
                return;
            var said = seen.Watch.Plantings[0].UnderOpenSky.Change(seen.Risk, site)[0].Split(' ');
            Assert.Equal("more wet hours at this mean make it", string.Join(' ', said[1..9]));
            var more = double.Parse(said[0], CultureInfo.InvariantCulture);
            Assert.True(After(more) > seen.Risk.Level && After(more - 0.1) == seen.Risk.Level, $"{step / 6.0} h: {string.Join(' ', said)}");

            Level After(double hours)
            {
                var (rule, spell) = ((WetHoursRule)seen.Watch.Plantings[0].UnderOpenSky, seen.Risk.Spell!.Value);
                return WetHoursRule.LevelOf(rule.Dose(spell with { WetHours = spell.WetHours + hours }, seen.Risk.Susceptibility));
            }
        }

        Assert.Fail("it never became severe");
    }
}
