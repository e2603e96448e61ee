using BackyardSentinel.Garden;
using CsCheck;
using Xunit;

namespace BackyardSentinel.Tests.Weather;

public class WetnessScaleTests
{
    // The limits as the docs of each preset give them: on, just below on, off, just below off.
    [Theory]
    [InlineData("counts", 7, 6, 4, 3)]
    [InlineData("percent", 50, 49.9, 20, 19.9)]
    [InlineData("millivolt", 284, 283.9, 274, 273.9)]
    public void A_preset_switches_on_and_off_at_its_own_limits(
        string name, double on, double belowOn, double off, double belowOff)
    {
        var scale = name switch
        {
            "counts" => WetnessScale.Counts0To15,
            "percent" => WetnessScale.Percent,
            _ => WetnessScale.Millivolt,
        };

        Assert.True(scale.IsWet(on, wasWet: false));
        Assert.False(scale.IsWet(belowOn, wasWet: false));
        Assert.True(scale.IsWet(belowOn, wasWet: true));
        Assert.True(scale.IsWet(off, wasWet: true));
        Assert.False(scale.IsWet(belowOff, wasWet: true));
    }

    [Fact]
    public void An_inverted_scale_is_wet_at_low_values()
    {
        var resistanceKOhm = new WetnessScale(50, 200, inverted: true);

        Assert.True(resistanceKOhm.IsWet(50, wasWet: false));
        Assert.False(resistanceKOhm.IsWet(50.1, wasWet: false));
        Assert.True(resistanceKOhm.IsWet(200, wasWet: true));
        Assert.False(resistanceKOhm.IsWet(200.1, wasWet: true));
    }

    [Fact]
    public void A_single_limit_forgets_the_state_before() =>
        Gen.Select(Gen.Double[-20, 20], Gen.Double[-20, 20], Gen.Bool).Sample((limit, raw, wasWet) =>
        {
            Assert.Equal(raw >= limit, WetnessScale.OneLimit(limit).IsWet(raw, wasWet));
            Assert.True(WetnessScale.OneLimit(limit).IsWet(limit, wasWet));
        });

    [Fact]
    public void Turning_a_scale_over_turns_its_answers_over_with_it() =>
        Gen.Select(Gen.Double[-20, 20], Gen.Double[0, 10], Gen.Double[-40, 40], Gen.Bool).Sample((on, gap, raw, wasWet) =>
            Assert.Equal(
                new WetnessScale(on, on - gap).IsWet(raw, wasWet),
                new WetnessScale(-on, gap - on, inverted: true).IsWet(-raw, wasWet)));

    [Fact]
    public void Crossed_limits_and_limits_that_are_no_numbers_are_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>("off", () => new WetnessScale(4, 7));
        Assert.Throws<ArgumentOutOfRangeException>("off", () => new WetnessScale(7, 4, inverted: true));
        Assert.Throws<ArgumentOutOfRangeException>("on", () => WetnessScale.OneLimit(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>("off", () => new WetnessScale(7, double.NegativeInfinity));
        Assert.Throws<ArgumentOutOfRangeException>("raw", () => WetnessScale.Percent.IsWet(double.NaN, true));
    }

    [Fact]
    public void Wet_minutes_become_a_share_of_their_interval()
    {
        Assert.Equal(0.25, WetnessScale.ShareOfMinutes(15, 60));
        Assert.Equal(0, WetnessScale.ShareOfMinutes(0, 10));
        Assert.Equal(1, WetnessScale.ShareOfMinutes(10, 10));
        Assert.Throws<ArgumentOutOfRangeException>("wetMinutes", () => WetnessScale.ShareOfMinutes(10.5, 10));
        Assert.Throws<ArgumentOutOfRangeException>("wetMinutes", () => WetnessScale.ShareOfMinutes(double.NaN, 10));
        Assert.Throws<ArgumentOutOfRangeException>("intervalMinutes", () => WetnessScale.ShareOfMinutes(0, 0));
    }
}
