using BackyardSentinel.Events;

namespace BackyardSentinel.Tests.Weather;

/// <summary>Each mistake on a small invented weather: what is said of it, what it does to the level, and when it is over.</summary>
public sealed class PlausibilityWatchTests
{
    private static readonly Site Garden = Some.Garden() with { LatitudeDeg = 45 };

    private readonly List<SentinelEvent> _told = [];

    private SiteWatch Watch(Site site) => new(site, _told.Add);

    /// <summary>A reading each half hour over the hours; rain is what fell in the half hour.</summary>
    private static void Feed(
        SiteWatch watch,
        double fromHour,
        double toHour,
        Func<double, double?> tempC,
        Func<double, double?> humidity,
        Func<double, double?>? rain = null,
        Func<double, double?>? leaf = null)
    {
        for (var hour = fromHour; hour < toHour; hour += 0.5)
        {
            var at = Some.At(hour);
            if (tempC(hour) is { } t) watch.Accept(Some.Temperature(at, t), at);
            if (humidity(hour) is { } h) watch.Accept(Some.Humidity(at, h), at);
            if (rain?.Invoke(hour) is { } mm) watch.Accept(Some.Rain(at.AddSeconds(1), mm), at.AddSeconds(1));
            if (leaf?.Invoke(hour) is { } wet) watch.Accept(Some.Leaf(at, wet), at);
        }

        watch.AdvanceTo(Some.At(toHour));
    }

    private static double Air(double hour) => 8 + (5 * Math.Sin((hour - 9) / 24 * 2 * Math.PI));

    private SeriesDoubt Doubted() => Assert.Single(_told.OfType<ReadingsDoubted>()).Doubt;

    [Fact]
    public void Degrees_of_Fahrenheit_are_told_once_and_the_level_is_unknown_and_never_clear_from_then_on()
    {
        var watch = Watch(Garden);
        Feed(watch, 0, 72, hour => (Air(hour) * 1.8) + 32, _ => 85, _ => 0);
        Assert.Equal((SeriesFault.LooksFahrenheit, "set unit: F for its series"), (Doubted().Fault, Doubted().Remedy.Text));
        Assert.Contains("looks like °F, not °C", Doubted().Seen(UnitSystem.Metric).Text, StringComparison.Ordinal);
        Assert.True(Doubted().Since < Some.At(24));
        Assert.Equal((Level.Unknown, true), (watch.Risks[0].Level, watch.Risks[0].Uncertain));

        // The unit is mended: after a day without a new sign the series is used again.
        Feed(watch, 72, 120, hour => Air(hour), _ => 85, _ => 0);
        Assert.Single(_told.OfType<ReadingsTrusted>());
        Assert.Equal((Level.Clear, false), (watch.Risks[0].Level, watch.Risks[0].Uncertain));
    }

    [Fact]
    public void A_share_of_one_for_humidity_is_told_and_percent_ends_it()
    {
        var watch = Watch(Garden);
        Feed(watch, 0, 24, hour => Air(hour), hour => 0.85, _ => 0);
        Assert.Equal((SeriesFault.LooksFraction, 0.85), (Doubted().Fault, Doubted().Highest));
        Assert.Equal(Level.Unknown, watch.Risks[0].Level);
        Feed(watch, 24, 60, hour => Air(hour), hour => 85, _ => 0);
        Assert.Empty(watch.Doubts);
    }

    [Fact]
    public void A_wetness_sensor_that_never_reaches_its_limit_gives_way_to_humidity_and_the_window_opens()
    {
        var watch = Watch(Garden);
        Feed(watch, 0, 48, _ => 9, hour => hour < 6 ? 70 : 97, hour => hour is >= 6 and < 18 ? 0.5 : 0, hour => hour < 6 ? 0 : 15);
        Assert.Equal((SeriesFault.NeverWet, 15.0), (Doubted().Fault, Doubted().Highest));
        Assert.True(Doubted().Since < Some.At(12));
        Assert.Contains(_told, fact => fact is InfectionWindowOpened);
        Assert.True(watch.Risks[0].Uncertain);
    }

    [Fact]
    public void A_wetness_sensor_that_dries_between_showers_is_believed()
    {
        var watch = Watch(Garden);
        Feed(watch, 0, 96, _ => 9, _ => 80, hour => hour % 24 is >= 6 and < 9 ? 0.6 : 0, hour => hour % 24 is >= 6.5 and < 12 ? 80 : 5);
        Assert.Empty(_told.OfType<ReadingsDoubted>());
    }

    [Fact]
    public void A_sensor_that_is_wet_in_dry_air_is_doubted_and_not_used()
    {
        var watch = Watch(Garden);
        Feed(watch, 0, 48, _ => 15, _ => 45, _ => 0, _ => 900);
        Assert.Equal(SeriesFault.NeverDry, Doubted().Fault);
        Assert.Equal(WetnessState.Dry, watch.LastWetness!.Value.State);
    }

    // One shower, then dry air for days, the sensor at rest: the first is a state that lasts for ever, the others are none.
    [Theory]
    [InlineData(35, 80, 50, 20, false, true)]
    [InlineData(20, 80, 50, 20, false, true)] // At the dry limit itself the state stays.
    [InlineData(19.9, 80, 50, 20, false, false)]
    [InlineData(35, 49, 50, 20, false, false)] // It never was wet.
    [InlineData(440, 200, 400, 500, true, true)]
    [InlineData(501, 200, 400, 500, true, false)]
    [InlineData(440, 401, 400, 500, true, false)]
    public void A_sensor_that_rests_between_its_limits_after_rain_is_doubted(
        double rest, double wet, double on, double off, bool inverted, bool isDoubted)
    {
        var watch = Watch(Garden with { LeafWetOn = on, LeafWetOff = off, LeafWetInverted = inverted });
        bool IsShower(double hour) => hour is >= 6 and < 9;
        Feed(
            watch, 0, 72, _ => 12, hour => IsShower(hour) ? 95 : hour % 24 is >= 8 and < 18 ? 47 : 72, hour => IsShower(hour) ? 0.6 : 0,
            hour => IsShower(hour) ? wet : rest);

        Assert.Equal(isDoubted, _told.OfType<ReadingsDoubted>().Any(fact => fact.Doubt.Fault == SeriesFault.NeverDry));
        if (isDoubted)
        {
            Assert.Equal(WetnessState.Dry, watch.LastWetness!.Value.State);
            // It dries, and is believed again.
            Feed(watch, 72, 98, _ => 12, _ => 47, _ => 0, _ => inverted ? off + 1 : off - 1);
            Assert.Empty(watch.Doubts);
        }
    }

    // Two days: the air warms and cools again by the swing, or only warms; it rains in one hour of each, or never.
    [Theory]
    [InlineData(100, 11, false, false, true)]
    [InlineData(98, 11, false, false, true)]
    [InlineData(97.9, 11, false, false, false)]
    [InlineData(100, 9.5, false, false, false)] // Fog keeps the sun off.
    [InlineData(100, 11, true, false, false)] // A warm front.
    [InlineData(100, 11, false, true, false)]
    public void Humidity_that_stays_saturated_through_a_warm_dry_day_is_not_used(
        double humidity, double swingC, bool onlyWarms, bool rains, bool isDoubted)
    {
        var watch = Watch(Garden);
        double? Warmth(double hour) => onlyWarms ? 4 + (swingC * hour / 48) : 8 + (swingC / 2 * Math.Sin((hour - 9) / 24 * 2 * Math.PI));
        Feed(watch, 0, 48, Warmth, _ => humidity, hour => rains && hour % 12 < 1 ? 0.4 : 0);

        Assert.Equal(isDoubted, _told.OfType<ReadingsDoubted>().Any());
        if (!isDoubted)
            return;
        Assert.Equal(SeriesFault.StaysSaturated, Doubted().Fault);
        Assert.Equal(WetnessState.Unknown, watch.LastWetness!.Value.State);
        Feed(watch, 48, 60, Warmth, _ => 90, _ => 0);
        Assert.NotEmpty(watch.Doubts);
        Feed(watch, 60, 64, Warmth, _ => 89, _ => 0);
        Assert.Empty(watch.Doubts);
    }

    [Fact]
    public void Inches_are_told_after_a_dozen_tips_and_then_no_rain_is_no_all_clear()
    {
        var watch = Watch(Garden);
        Feed(watch, 0, 24, _ => 9, _ => 95, hour => hour < 16 ? 0.01 : 0);
        Assert.Equal((SeriesFault.LooksInches, Level.Unknown), (Doubted().Fault, watch.Risks[0].Level));
    }

    [Fact]
    public void Fine_steps_of_a_gauge_whose_unit_is_stated_are_believed()
    {
        Feed(Watch(Garden with { RainUnitStated = true }), 0, 24, _ => 9, _ => 95, _ => 0.01);
        Assert.Empty(_told.OfType<ReadingsDoubted>());
    }

    [Fact]
    public void A_running_total_taken_for_amounts_is_told_and_not_counted_on()
    {
        var watch = Watch(Garden);
        Feed(watch, 0, 24, _ => 9, _ => 95, hour => hour < 12 ? 12.4 : 12.6);
        Assert.Equal(SeriesFault.LooksTotal, Doubted().Fault);
        Assert.Equal(Level.Unknown, watch.Risks[0].Level);
    }

    [Fact]
    public void Rain_beyond_any_day_is_told()
    {
        Feed(Watch(Garden), 0, 48, _ => 9, _ => 95, hour => hour % 2 == 0 ? 5.08 * 25.4 / 6 : 15);
        Assert.Equal(SeriesFault.TooMuchRain, Doubted().Fault);
    }

    [Fact]
    public void A_probe_that_says_nothing_but_its_mark_is_told_after_three_hours()
    {
        var watch = Watch(Garden);
        Feed(watch, 0, 6, _ => -127, _ => 85, _ => 0);
        Assert.Equal(SeriesFault.AllRefused, Doubted().Fault);
        Assert.Contains("wire is loose", Doubted().Seen(UnitSystem.Metric).Text, StringComparison.Ordinal);
        Assert.True(Doubted().Since <= Some.At(4));
        Feed(watch, 6, 9, hour => Air(hour), _ => 85, _ => 0);
        Assert.Empty(watch.Doubts);
    }

    [Theory]
    [InlineData(true, Level.Possible)] // By what the second says from then on.
    [InlineData(false, Level.Unknown)]
    public void What_a_thermometer_said_in_the_running_spell_before_it_was_doubted_does_not_make_it_too_warm(bool hasSecond, Level level)
    {
        // It goes over to °F three hours into a wet night of 14 h at 9 °C, and is found out four hours later.
        var watch = Watch(Garden);
        for (var hour = 0.0; hour < 38; hour += 0.25)
        {
            var (at, wet) = (Some.At(hour), hour >= 24);
            watch.Accept(Some.Temperature(at, hour >= 27 ? 48.2 : 9), at);
            if (hasSecond)
                watch.Accept(Some.Temperature(at, 9, rank: 1), at);
            watch.Accept(Some.Humidity(at, wet ? 96 : 60), at);
            watch.Accept(Some.Rain(at, wet ? 0.2 : 0), at);
        }

        watch.AdvanceTo(Some.At(37.5));
        Assert.Equal(SeriesFault.LooksFahrenheit, Doubted().Fault);
        Assert.Equal((level, true), (watch.Risks[0].Level, watch.Risks[0].Uncertain));
        Assert.Equal(hasSecond ? 9.0 : double.NaN, watch.RunningSpell?.MeanTempC ?? double.NaN, 6);
    }

    [Fact]
    public void A_doubt_on_the_second_thermometer_takes_nothing_from_what_the_first_says()
    {
        var watch = Watch(Garden);
        for (var hour = 0.0; hour < 38; hour += 0.25)
        {
            var (at, wet) = (Some.At(hour), hour >= 24);
            watch.Accept(Some.Temperature(at, 9), at);
            watch.Accept(Some.Temperature(at, hour >= 27 ? 48.2 : 9, rank: 1), at);
            watch.Accept(Some.Humidity(at, wet ? 96 : 60), at);
            watch.Accept(Some.Rain(at, wet ? 0.2 : 0), at);
        }

        watch.AdvanceTo(Some.At(37.5));
        Assert.Equal((1, SeriesFault.LooksFahrenheit), (Doubted().Rank, Doubted().Fault));
        Assert.False(watch.RunningSpell?.Uncertain);
    }

    [Fact]
    public void Where_a_second_thermometer_agrees_with_the_weather_it_takes_the_place_of_the_doubted_one()
    {
        var watch = Watch(Garden);
        for (var hour = 0.0; hour < 30; hour += 0.5)
        {
            watch.Accept(Some.Temperature(Some.At(hour), (Air(hour) * 1.8) + 32), Some.At(hour));
            watch.Accept(Some.Temperature(Some.At(hour), Air(hour), rank: 1), Some.At(hour));
        }

        watch.AdvanceTo(Some.At(30));
        Assert.Equal((0, SeriesFault.LooksFahrenheit), (Doubted().Rank, Doubted().Fault));
        Assert.InRange(watch.LastInterval!.Value.TemperatureC!.Value, 3, 13);
    }
}
