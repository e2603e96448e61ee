namespace BackyardSentinel.Tests.Weather;

/// <summary>A gauge that stops speaking gives no all-clear; one that speaks only when it tips need not speak in dry weather.</summary>
public sealed class GaugeSilenceTests
{
    [Fact]
    public void A_gauge_that_said_nought_at_even_intervals_and_stops_leaves_the_level_unknown_however_wet_it_is()
    {
        var watch = new Diary().Dry(12).Rows(24, 10, 96, rainMm: null).Live().Watch;

        Assert.Equal(Level.Unknown, watch.Risks[0].Level);
        Assert.Equal(Some.At(12), watch.RainUnknownSince);
        Assert.Equal(Some.At(12), watch.Risks[0].Since);
    }

    [Fact]
    public void Its_next_word_ends_that()
    {
        var watch = new Diary().Dry(12).Rows(6, 10, 60, rainMm: null).Dry(1).Live().Watch;

        Assert.Null(watch.RainUnknownSince);
        Assert.Equal(Level.Clear, watch.Risks[0].Level);
    }

    [Fact]
    public void A_short_silence_is_none()
    {
        var watch = new Diary().Dry(12).Rows(1.5, 10, 60, rainMm: null).Live().Watch;

        Assert.Equal((null, Level.Clear), (watch.RainUnknownSince, watch.Risks[0].Level));
    }

    [Fact]
    public void A_gauge_that_speaks_only_when_it_tips_may_be_silent()
    {
        var diary = new Diary();
        for (var shower = 0; shower < 12; shower++)
            diary.Rows(1.0 / 6, 10, 95, rainMm: 0.3).Rows(5 + shower, 10, 60, rainMm: null);
        var watch = diary.Rows(30, 10, 60, rainMm: null).Live().Watch;

        Assert.Equal((null, Level.Clear), (watch.RainUnknownSince, watch.Risks[0].Level));
    }

    [Theory]
    [InlineData(5, null)]
    [InlineData(7, 60.0)]
    public void One_that_speaks_each_hour_may_miss_six_times(int silentHours, double? unknownSince)
    {
        var diary = new Diary();
        for (var hour = 0; hour < 60; hour++)
            diary.Rows(50.0 / 60, 10, 60, rainMm: null).Rows(1.0 / 6, 10, 60, rainMm: 0);
        var watch = diary.Rows(silentHours, 10, 60, rainMm: null).Live().Watch;

        Assert.Equal(unknownSince is { } hours ? Some.At(hours) : null, watch.RainUnknownSince);
    }

    [Fact]
    public void Shut_buds_stay_clear()
    {
        var watch = new Diary().Dry(12).Rows(24, 10, 96, rainMm: null).Live(Some.Garden(stage: 0)).Watch;

        Assert.Equal(Level.Clear, watch.Risks[0].Level);
    }

    [Fact]
    public void While_leaves_are_wet_for_longer_than_dew_keeps_them_one_that_never_spoke_leaves_the_level_unknown()
    {
        var diary = new Diary().Rows(6, 10, 60, rainMm: null).Rows(13, 10, 96, rainMm: null);
        var watch = diary.Live().Watch;

        Assert.Equal((Some.At(6), Level.Unknown), (watch.RainUnknownSince, watch.Risks[0].Level));
        watch = diary.Rows(3, 10, 60, rainMm: null).Live().Watch;
        Assert.Equal((null, Level.Clear), (watch.RainUnknownSince, watch.Risks[0].Level));
    }

    [Fact]
    public void Dew_of_a_night_leaves_it_clear_though_the_gauge_never_spoke()
    {
        var watch = new Diary().Rows(6, 10, 60, rainMm: null).Rows(11, 10, 96, rainMm: null).Live().Watch;

        Assert.Equal((null, Level.Clear), (watch.RainUnknownSince, watch.Risks[0].Level));
    }

    // Its clock has fallen a day back, and it rains from 12:30 to 18:00. A day after its last word nobody asks for rain any more.
    [Fact]
    public void Rain_that_is_told_of_another_day_may_be_falling_now()
    {
        var watch = new Diary().Rows(1.0 / 6, 10, 95, rainMm: 0.3).Rows(12, 10, 60, rainMm: null).Live().Watch;
        Pass(12.5, 18, humidityPct: 80, tips: true);
        Assert.Equal((Some.At(12.5), Level.Unknown), (watch.RainUnknownSince, watch.Risks[0].Level));
        Pass(18, 41, humidityPct: 60, tips: false);
        Assert.Equal(Some.At(12.5), watch.RainUnknownSince);
        Pass(41, 43, humidityPct: 60, tips: false);
        Assert.Equal((null, Level.Clear), (watch.RainUnknownSince, watch.Risks[0].Level));

        void Pass(double from, double until, double humidityPct, bool tips)
        {
            for (var at = Some.At(from); at < Some.At(until); at += TimeSpan.FromMinutes(10))
            {
                watch.Accept(new Reading(Quantity.Temperature, at, 10), at);
                watch.Accept(new Reading(Quantity.Humidity, at, humidityPct), at);
                if (tips)
                    Assert.Equal(QualityVerdict.Late, watch.Accept(new Reading(Quantity.Rain, at.AddHours(-25), 0.2), at));
            }
        }
    }

    [Fact]
    public void Without_a_gauge_wetness_alone_is_judged()
    {
        var watch = new Diary().Rows(6, 10, 60, rainMm: null).Rows(14, 10, 96, rainMm: null)
            .Live(Some.Garden() with { HasRainGauge = false }).Watch;

        Assert.Null(watch.RainUnknownSince);
        Assert.True(watch.Risks[0].Level >= Level.Possible);
    }
}
