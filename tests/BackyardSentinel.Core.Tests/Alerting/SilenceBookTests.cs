using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

/// <summary>Sensors of one site that fall silent and come back in every order.</summary>
public class SilenceBookTests
{
    [Fact]
    public void Sensors_that_are_all_silent_again_before_their_return_was_told_have_not_returned()
    {
        var told = Told.From([
            Told.Silent("air", 9), Told.Silent("leaf", 9),
            Told.Back("air", 9, 12), Told.Back("leaf", 9, 12.02),
            Told.Silent("air", 12.1), Told.Silent("leaf", 12.2),
        ]);

        Assert.Equal(["sensors-silent"], told.Sent.Select(alert => alert.Kind));
        Assert.Contains(told.Decisions.OfType<Drop>(), drop => drop is { Occasion: SensorsBack, Why: DropReason.SilentAgain });
    }

    [Fact]
    public void A_reported_hub_whose_sensors_speak_again_before_it_was_told_is_not_told()
    {
        var told = Told.From([
            Told.Silent("air", 9), Told.Silent("leaf", 9),
            Hub(9.1), Told.Back("air", 9, 9.105), Told.Back("leaf", 9, 9.105),
            // Later they are silent anew, and that is news.
            Told.Silent("air", 25), Told.Silent("leaf", 25),
        ]);

        Assert.Equal(["sensors-silent"], told.Sent.Select(alert => alert.Kind));
        Assert.True(told.Sent[0].At > Some.At(25));
        Assert.Contains(told.Decisions.OfType<Drop>(), drop => drop is { Occasion: SensorsSilent, Why: DropReason.SpokeAgain });
    }

    [Theory]
    [InlineData(true, true, true)]
    [InlineData(true, false, false)]
    [InlineData(false, true, false)]
    public void Nobody_listened_to_a_hub_only_where_nobody_listened_to_any_of_its_sensors(bool air, bool leaf, bool unheard)
    {
        var told = Told.From([Told.Silent("air", 9) with { Unheard = air }, Told.Silent("leaf", 9) with { Unheard = leaf }]);

        Assert.Equal(unheard, Assert.IsType<SensorsSilent>(Assert.Single(Assert.Single(told.Sent).Occasions)).Unheard);
    }

    [Fact]
    public void A_reported_hub_stays_while_one_of_its_sensors_is_silent()
    {
        var told = Told.From([Told.Silent("air", 9), Told.Silent("leaf", 9), Hub(9.1), Told.Back("air", 9, 9.105)]);

        Assert.Equal(["sensors-silent"], told.Sent.Select(alert => alert.Kind));
    }

    [Fact]
    public void A_hub_that_is_back_before_it_was_told_is_not_told_nor_one_that_was_never_silent()
    {
        Assert.Empty(Told.From([Hub(9.1), Return(9.105)]).Sent);
        Assert.Empty(Told.From([Return(9)]).Sent);
    }

    [Fact]
    public void A_hub_is_told_as_silent_once_and_as_back_once()
    {
        Occasion again = Return(12.01);
        var told = Told.From([Hub(9), Hub(9.5), Return(12), again]);

        Assert.Equal(["sensors-silent", "sensors-back"], told.Sent.Select(alert => alert.Kind));
        Assert.Equal(DropReason.HubReturns, told.WhyDropped(again));
    }

    [Fact]
    public void A_hub_that_is_silent_again_while_its_return_waits_is_silent_still()
    {
        Occasion back = Return(12);
        var told = Told.From([Hub(9), back, Hub(12.1)]);

        Assert.Equal(["sensors-silent"], told.Sent.Select(alert => alert.Kind));
        Assert.Equal(DropReason.SilentAgain, told.WhyDropped(back));
    }

    [Fact]
    public void A_hubs_real_return_is_told_after_one_that_came_to_nothing()
    {
        var told = Told.From([Hub(9), Return(12), Hub(12.1), Return(20)]);

        Assert.Equal(["sensors-silent", "sensors-back"], told.Sent.Select(alert => alert.Kind));
        Assert.True(told.Sent[1].At >= Some.At(20));
    }

    [Fact]
    public void A_sensor_that_is_silent_again_while_its_return_waits_was_never_back()
    {
        var night = new AlertPolicyOptions { Quiet = new QuietHours(new(22, 0), new(7, 0)) };
        Occasion again = Told.Silent("air", 27), back = Told.Back("air", 9, 23);
        var told = Told.From([Told.Silent("air", 9), back, again, Told.Back("air", 27, 40)], night);

        Assert.Equal(["sensor-silent", "sensor-back"], told.Sent.Select(alert => alert.Kind));
        Assert.Equal((DropReason.SilentAgain, DropReason.SilenceGoesOn), (told.WhyDropped(back), told.WhyDropped(again)));
        Assert.True(told.Sent[1].At > Some.At(40));
    }

    [Fact]
    public void A_silence_told_late_that_has_ended_is_no_news()
    {
        Occasion late = new SensorSilent(Told.Site, Some.At(13), "air", Quantity.Temperature, Some.At(6));

        Assert.Equal(DropReason.SpokenSince, Told.From([Told.Back("air", 9, 12), late]).WhyDropped(late));
    }

    [Fact]
    public void One_hub_has_the_earliest_silence_and_the_number_of_its_sensors()
    {
        var sent = Told.From([Told.Silent("air", 9.1), Told.Silent("leaf", 9), Told.Silent("rain", 9.2)]).Sent;
        var hub = (SensorsSilent)Assert.Single(sent).Occasions[0];

        Assert.Equal((3, Some.At(6), Some.At(9)), (hub.Count, hub.Since, hub.At));
    }

    [Theory]
    [InlineData(true, true, true)]
    [InlineData(true, false, false)]
    [InlineData(false, false, false)]
    public void The_return_of_several_says_that_they_were_late_and_not_silent_where_all_were(bool one, bool other, bool late)
    {
        var told = Told.From(
            [
                Told.Silent("air", 9) with { IsLate = one },
                Told.Silent("leaf", 9) with { IsLate = other },
                Told.Back("air", 9, 20),
                Told.Back("leaf", 9, 20),
            ]).Sent;

        Assert.Equal(late, told[0].Occasions.OfType<SensorsSilent>().Single().IsLate);
        Assert.Equal(late, told[1].Occasions.OfType<SensorsBack>().Single().WereLate);
    }

    // A rain gauge that reports at even intervals is missed: 18 of its last 20 intervals near the median (assumed).
    [Theory]
    [InlineData(2, 15, true)]
    [InlineData(3, 15, false)]
    [InlineData(3, 10, true)] // Twice the usual interval is near it.
    [InlineData(3, 10.1, false)]
    [InlineData(3, 2.5, true)] // And so is half of it.
    [InlineData(3, 2.4, false)]
    public void A_gauge_is_even_when_most_of_its_intervals_are_near_the_usual_one(int odd, double oddMinutes, bool missed)
    {
        var watch = new SensorWatch(Told.Site, new Dictionary<string, Quantity> { ["rain"] = Quantity.Rain }, Some.Midnight);
        var at = Some.Midnight;
        watch.Accept("rain", 0, at);
        for (var i = 0; i < 20; i++)
            watch.Accept("rain", 0, at += TimeSpan.FromMinutes(i < odd ? oddMinutes : 5));

        Assert.Equal(missed, watch.AdvanceTo(at.AddDays(2)).Count == 1);
    }

    [Theory]
    [InlineData(97.9, true)]
    [InlineData(98, false)]
    public void Saturated_air_may_stand_still(double humidityPct, bool stuck)
    {
        var watch = new SensorWatch(Told.Site, new Dictionary<string, Quantity> { ["air"] = Quantity.Humidity }, Some.Midnight);
        var found = Enumerable.Range(0, 73).SelectMany(i => watch.Accept("air", humidityPct, Some.Midnight.AddMinutes(10 * i))).ToList();

        Assert.Equal(stuck ? [Some.At(12)] : [], found.Select(one => one.At));
    }

    private static SensorsSilent Hub(double atHours) => new(Told.Site, Some.At(atHours), 20, Some.At(6));

    private static SensorsBack Return(double atHours) => new(Told.Site, Some.At(atHours), Some.At(6), 20, 0);
}
