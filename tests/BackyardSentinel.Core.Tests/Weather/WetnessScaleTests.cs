namespace BackyardSentinel.Tests.Weather;

public class WetnessScaleTests
{
    [Fact]
    public void An_upright_scale_is_wet_at_high_values()
    {
        var counts = new WetnessScale(7, 4);

        Assert.True(counts.IsWet(7, wasWet: false));
        Assert.False(counts.IsWet(6, wasWet: false));
        Assert.True(counts.IsWet(6, wasWet: true));
        Assert.True(counts.IsWet(4, wasWet: true));
        Assert.False(counts.IsWet(3, wasWet: true));
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
            Assert.Equal(raw >= limit, new WetnessScale(limit, limit).IsWet(raw, wasWet));
            Assert.True(new WetnessScale(limit, limit).IsWet(limit, wasWet));
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
        Assert.Throws<ArgumentOutOfRangeException>("on", () => new WetnessScale(double.NaN, 1));
        Assert.Throws<ArgumentOutOfRangeException>("off", () => new WetnessScale(7, double.NegativeInfinity));
        Assert.Throws<ArgumentOutOfRangeException>("raw", () => new WetnessScale(50, 20).IsWet(double.NaN, true));
    }
}
