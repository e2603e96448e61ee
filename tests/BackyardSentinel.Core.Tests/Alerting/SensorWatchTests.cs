using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests.Alerting;

public class SensorWatchTests
{
    [Fact]
    public void A_sensor_is_silent_three_hours_after_its_last_word_however_late_the_clock_is_asked()
    {
        var watch = Watch(Quantity.Temperature);
        Speak(watch, 0, 2, 5);

        Assert.Empty(watch.AdvanceTo(Some.At(2) + new TimeSpan(2, 54, 59)));
        var silent = Assert.IsType<SensorSilent>(Assert.Single(watch.AdvanceTo(Some.At(9))));

        Assert.Equal((Some.At(2).AddMinutes(-5), Some.At(5).AddMinutes(-5)), (silent.Since, silent.At));
        Assert.Empty(watch.AdvanceTo(Some.At(99)));
    }

    // An outage that begins with its last word, or so long before it is silent that it is known by then, may be all that was silent.
    [Theory]
    [InlineData(1.9, false)]
    [InlineData(2.0, true)]
    [InlineData(4.7, true)]
    [InlineData(4.75, false)]
    [InlineData(5.1, false)]
    public void A_silence_in_which_listening_stopped_says_so(double outage, bool unheard)
    {
        var outages = new Outages([Some.At(0.5)]);
        var watch = new SensorWatch("yard", new Dictionary<string, Quantity> { ["t"] = Quantity.Temperature }, Some.Midnight, outages);
        watch.Accept("t", 8, Some.At(2));
        outages.Add(Some.At(outage));

        var silent = Assert.IsType<SensorSilent>(Assert.Single(watch.AdvanceTo(Some.At(9))));
        Assert.Equal(unheard, silent.Unheard);
        Assert.Equal(unheard, Assert.IsType<SensorSilent>(Assert.Single(watch.Standing)).Unheard);
    }

    // A rain gauge may be silent for weeks; one that speaks, and for hours of nothing but another day, has a wrong clock.
    [Theory]
    [InlineData(Quantity.Temperature)]
    [InlineData(Quantity.Rain)]
    public void A_sensor_that_tells_of_another_day_only_is_silent_and_its_clock_is_to_be_looked_at(Quantity quantity)
    {
        var watch = Watch(quantity);
        List<Occasion> found = [];
        for (var hour = 1.0; hour <= 24; hour++)
            found.AddRange(watch.Accept("s", 7, Some.At(hour), counts: false));

        var silent = Assert.IsType<SensorSilent>(Assert.Single(found));
        Assert.Equal((true, Some.At(1), Some.At(4)), (silent.IsLate, silent.Since, silent.At));
        Assert.True(Assert.IsType<SensorSilent>(Assert.Single(watch.Standing)).IsLate);
        Assert.True(Assert.IsType<SensorBack>(Assert.Single(watch.Accept("s", 7, Some.At(25)))).WasLate);
        Assert.Empty(watch.Standing);
        if (quantity == Quantity.Rain)
            return;
        // The next silence is one.
        var next = Assert.IsType<SensorSilent>(Assert.Single(watch.AdvanceTo(Some.At(2000)), one => one is SensorSilent));
        Assert.False(next.IsLate);
        Assert.False(Assert.IsType<SensorBack>(Assert.Single(watch.Accept("s", 8, Some.At(2001)))).WasLate);
    }

    [Fact]
    public void A_single_word_of_another_day_from_a_gauge_that_only_tips_is_nothing()
    {
        var watch = Watch(Quantity.Rain);
        watch.Accept("s", 0.2, Some.At(0));
        watch.Accept("s", 0.2, Some.At(40), counts: false);

        Assert.Empty(watch.AdvanceTo(Some.At(24 * 60)));
    }

    [Fact]
    public void It_is_back_with_its_next_word()
    {
        var watch = Watch(Quantity.Temperature);
        Speak(watch, 0, 1, 5);

        var found = watch.Accept("s", 4, Some.At(6));

        Assert.Equal(["sensor-silent", "sensor-back"], found.Select(occasion => occasion.Kind));
        Assert.Equal(found[0].Episode, found[1].Episode);
    }

    [Fact]
    public void A_sensor_that_never_spoke_is_silent_since_listening_started() =>
        Assert.Equal(Some.Midnight, Assert.IsType<SensorSilent>(Assert.Single(Watch(Quantity.Humidity).AdvanceTo(Some.At(4)))).Since);

    [Fact]
    public void A_slow_sensor_is_given_six_of_its_intervals()
    {
        var watch = Watch(Quantity.Temperature);
        Speak(watch, 0, 40, 60);

        Assert.Empty(watch.AdvanceTo(Some.At(39 + 5.9)));
        Assert.Equal(Some.At(39 + 6), Assert.Single(watch.AdvanceTo(Some.At(46))).At);
    }

    // Of an even number the median is the mean of the two in the middle: 1.5 h of 1 h and 2 h, and of 1, 1, 2 and 9 h.
    [Theory]
    [InlineData(new double[] { 1, 2 })]
    [InlineData(new double[] { 9, 1, 2, 1 })]
    public void A_sensors_usual_interval_is_their_median(double[] intervals)
    {
        var watch = Watch(Quantity.Temperature);
        var hour = 0.0;
        watch.Accept("s", 0, Some.At(hour));
        foreach (var interval in intervals)
            watch.Accept("s", hour, Some.At(hour += interval));

        Assert.Equal(Some.At(hour + (6 * 1.5)), Assert.Single(watch.AdvanceTo(Some.At(hour + 99))).At);
    }

    // Two hours of one value, then an outage or a silence, then ten hours and more of it: only what was heard counts.
    [Theory]
    [InlineData(2.1, 4, 16)] // Nobody listened.
    [InlineData(null, 4, 12)] // Two hours are no silence.
    [InlineData(null, 6, 18)]
    public void A_value_counts_as_the_same_only_while_it_is_heard(double? outage, double again, double stuckAt)
    {
        var outages = outage is { } at ? new Outages([Some.At(at)]) : new Outages();
        var watch = new SensorWatch("yard", new Dictionary<string, Quantity> { ["t"] = Quantity.Temperature }, Some.Midnight, outages);
        List<Occasion> found = [];
        for (var hour = 0.0; hour <= 20; hour += 0.5)
        {
            if (hour <= 2 || hour >= again)
                found.AddRange(watch.Accept("t", 9, Some.At(hour)));
        }

        Assert.Equal(Some.At(stuckAt), Assert.Single(found.OfType<SensorStuck>()).At);
    }

    [Fact]
    public void What_is_wrong_stands_until_it_ends_whatever_was_told()
    {
        var watch = new SensorWatch(
            "yard",
            new Dictionary<string, Quantity> { ["t"] = Quantity.Temperature, ["h"] = Quantity.Humidity },
            Some.Midnight);
        for (var hour = 0.0; hour <= 13; hour++)
        {
            watch.Accept("t", hour, Some.At(hour));
            watch.Accept("h", 60, Some.At(hour));
        }

        var stuck = Assert.IsType<SensorStuck>(Assert.Single(watch.Standing));
        Assert.Equal((60, Some.At(0), Some.At(12)), (stuck.Value, stuck.Since, stuck.At));
        watch.Accept("h", 61, Some.At(14));
        Assert.Empty(watch.Standing);

        watch.Accept("t", 14, Some.At(17));
        watch.AdvanceTo(Some.At(20.5));
        Assert.Equal("h", Assert.IsType<SensorSilent>(Assert.Single(watch.Standing)).Series);
        watch.AdvanceTo(Some.At(24));
        var both = Assert.Single(watch.Standing);
        Assert.DoesNotContain("sensor-silent", both.Kind, StringComparison.Ordinal);
        Assert.Equal((Some.At(14), Some.At(20)), (Assert.IsType<SensorsSilent>(both).Since, both.At));
        watch.Accept("h", 62, Some.At(25));
        Assert.Equal("t", Assert.IsType<SensorSilent>(Assert.Single(watch.Standing)).Series);
        watch.Accept("t", 15, Some.At(25));
        Assert.Empty(watch.Standing);
    }

    [Fact]
    public void A_rain_gauge_that_only_tips_is_never_silent()
    {
        var watch = Watch(Quantity.Rain);
        for (var minute = 0; minute < 200; minute += 5)
            watch.Accept("s", 0.2, Some.At(0).AddMinutes(minute));

        Assert.Empty(watch.AdvanceTo(Some.At(24 * 60)));
    }

    // Of its last 20 intervals 18 must be even; one of long ago is forgotten.
    [Theory]
    [InlineData(2, true)]
    [InlineData(3, false)]
    public void What_a_gauge_did_more_than_twenty_intervals_ago_is_forgotten(int uneven, bool isMissed)
    {
        var watch = Watch(Quantity.Rain);
        var hour = 0.0;
        watch.Accept("s", 0, Some.At(hour));
        foreach (var hours in Enumerable.Repeat(9, 1).Concat(Enumerable.Repeat(1, 20)).Concat(Enumerable.Repeat(9, uneven)))
            watch.Accept("s", 0, Some.At(hour += hours));

        Assert.Equal(isMissed, watch.AdvanceTo(Some.At(hour + 99)).Count > 0);
    }

    [Fact]
    public void A_rain_gauge_that_says_zero_at_even_intervals_is_missed()
    {
        var watch = Watch(Quantity.Rain);
        for (var minute = 0; minute <= 120; minute += 5)
            watch.Accept("s", minute == 60 ? 0.4 : 0, Some.At(0).AddMinutes(minute));

        Assert.Equal(Some.At(5), Assert.Single(watch.AdvanceTo(Some.At(24))).At);
    }

    [Theory]
    [InlineData(Quantity.Temperature, 7.3, true)]
    [InlineData(Quantity.Humidity, 71, true)]
    [InlineData(Quantity.Humidity, 100, false)]
    [InlineData(Quantity.Rain, 0, false)]
    [InlineData(Quantity.LeafWetness, 0, false)]
    [InlineData(Quantity.WindSpeed, 0, false)]
    public void Standing_still_for_twelve_hours_is_told_once_where_the_weather_cannot(Quantity quantity, double value, bool told)
    {
        var watch = Watch(quantity);
        var found = new List<Occasion>();
        for (var minute = 0; minute <= 30 * 60; minute += 10)
            found.AddRange(watch.Accept("s", value, Some.At(0).AddMinutes(minute)));

        Assert.Equal(told ? 1 : 0, found.Count);
        if (told)
            Assert.Equal((Some.At(12), Some.At(0), value), (found[0].At, ((SensorStuck)found[0]).Since, ((SensorStuck)found[0]).Value));
    }

    [Fact]
    public void A_series_the_site_does_not_have_is_a_bug_of_the_caller() =>
        Assert.Throws<ArgumentException>(() => Watch(Quantity.Rain).Accept("other", 1, Some.At(1)));

    private static SensorWatch Watch(Quantity quantity) =>
        new(Told.Site, new Dictionary<string, Quantity> { ["s"] = quantity }, Some.Midnight);

    private static void Speak(SensorWatch watch, int fromHours, int toHours, int everyMinutes)
    {
        var value = 0.0;
        for (var at = Some.At(fromHours); at < Some.At(toHours); at = at.AddMinutes(everyMinutes))
            Assert.Empty(watch.Accept("s", value++, at));
    }
}
