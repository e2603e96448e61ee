using BackyardSentinel.Spraying;
using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

// Limits beside which no other source is named are those of SprayLimits, with the sources given there.
public class SprayWeatherTests
{
    private const int Hour = 40;

    private static DateTimeOffset At(int hour) => Now.AddHours(hour);

    private static IReadOnlyList<HourFault> Judge(
        Func<int, ForecastHour, ForecastHour> change,
        LabelLimit? label = null,
        SprayProduct? product = null,
        IReadOnlyList<RainAmount>? observed = null,
        int hour = Hour
    ) =>
        new SprayWeather(
            (product ?? Copper) with
            {
                Label = label ?? new(),
            },
            Fair(change).Hours,
            observed ?? [],
            Now,
            observedAir: MildPast
        ).Judge(At(hour));

    private static Func<int, ForecastHour, ForecastHour> In(int hour, Func<ForecastHour, ForecastHour> change) =>
        (i, fair) => i == hour ? change(fair) : fair;

    private static Func<int, ForecastHour, ForecastHour> Rain(int hour, double mm = 1) => In(hour, fair => fair with { RainMm = mm });

    private static void Only(HourReason reason, bool blocks, IReadOnlyList<HourFault> faults)
    {
        var fault = Assert.Single(faults);
        Assert.Equal((reason, blocks), (fault.Reason, fault.Blocks));
    }

    [Fact]
    public void A_fair_hour_has_no_fault() => Assert.Empty(Judge((_, fair) => fair));

    [Fact]
    public void Rain_in_the_hour_blocks_it_and_a_trace_does_not()
    {
        Only(HourReason.Rain, true, Judge(Rain(Hour)));
        Only(HourReason.Rain, true, Judge(In(Hour, fair => fair with { RainProbabilityPct = 50 })));
        Assert.Empty(Judge(Rain(Hour, 0.05)));
    }

    [Fact]
    public void A_gauge_that_said_nothing_tells_of_the_hours_behind_and_not_of_the_one_that_runs()
    {
        Func<ForecastHour, ForecastHour> open = fair => fair with { RainMm = null, RainProbabilityPct = null };

        Only(HourReason.Missing, true, Judge(In(0, open), hour: 0));
        Assert.Empty(Judge((_, fair) => fair, hour: 0));
    }

    [Theory]
    [InlineData(4, true)]
    [InlineData(5, false)]
    [InlineData(24, false)]
    public void Rain_soon_after_blocks_or_warns(int hoursAfter, bool blocks) =>
        Only(HourReason.RainSoon, blocks, Judge(Rain(Hour + hoursAfter)));

    [Theory]
    [InlineData(3, true)]
    [InlineData(4, false)]
    [InlineData(24, false)]
    public void Rain_shortly_before_blocks_or_warns(int hoursBefore, bool blocks) =>
        Only(HourReason.RainBefore, blocks, Judge(Rain(Hour - hoursBefore)));

    [Fact]
    public void Rain_a_day_away_is_no_matter()
    {
        Assert.Empty(Judge(Rain(Hour + 25)));
        Assert.Empty(Judge(Rain(Hour - 25)));
    }

    [Fact]
    public void A_labels_dry_hours_hold_exactly()
    {
        var label = new LabelLimit { DryAfterH = 12, DryBeforeH = 6 };
        Only(HourReason.RainSoon, true, Judge(Rain(Hour + 12), label));
        Assert.Empty(Judge(Rain(Hour + 13), label));
        Only(HourReason.RainBefore, true, Judge(Rain(Hour - 6), label));
        Assert.Empty(Judge(Rain(Hour - 7), label));
    }

    [Fact]
    public void Measured_rain_counts_like_forecast_rain_and_is_never_lowered_by_it()
    {
        Only(HourReason.RainBefore, true, Judge((_, fair) => fair, observed: [new(Now.AddMinutes(-50), 0.2)], hour: 2));
        Only(HourReason.Rain, true, Judge((_, fair) => fair, observed: [new(Now.AddMinutes(10), 0.2)], hour: 0));
    }

    [Fact]
    public void Without_a_rain_record_the_past_is_told_as_unknown_but_blocks_nothing()
    {
        var faults = new SprayWeather(Copper, Fair().Hours, null, Now, observedAir: MildPast).Judge(At(1));

        Only(HourReason.Missing, false, faults);
        Assert.Contains("bark", faults[0].Sentence.Text, StringComparison.Ordinal);

        // A gap does not hide rain that is known of further back.
        var early = new[] { FairHour(Now.AddHours(-2)) with { RainMm = 3 } };
        Only(
            HourReason.RainBefore,
            true,
            new SprayWeather(Copper, [.. early, .. Fair().Hours], null, Now, observedAir: MildPast).Judge(Now));
    }

    [Theory]
    [InlineData(0.0, true)]
    [InlineData(-3.0, true)]
    [InlineData(1.5, false)]
    public void Frost_within_a_day_blocks_and_near_frost_warns(double tempC, bool blocks) =>
        Only(HourReason.Frost, blocks, Judge(In(Hour + 24, fair => fair with { TemperatureC = tempC, HumidityPct = 100 })));

    [Fact]
    public void A_wet_bulb_below_zero_is_frost_though_the_air_is_not()
    {
        // 3 °C at 50 %: the thermodynamic wet bulb is near -0.6 °C, and the psychrometer's below 0 °C too.
        Assert.InRange(Reference.HylandWexler.WetBulbC(3, 50, 1013.25), -1.2, -0.3);
        Only(HourReason.Frost, true, Judge(In(Hour + 5, fair => fair with { TemperatureC = 3, HumidityPct = 50 })));
    }

    [Theory]
    [InlineData(0, true)]
    [InlineData(2, false)]
    public void Frost_in_the_day_before_blocks_and_near_frost_warns(double tempC, bool blocks)
    {
        // Fruit growers' advice: no copper the morning after frost, wait 24-48 h; no oil within 24 h on either side.
        Only(HourReason.Frost, blocks, Judge(In(Hour - 24, fair => fair with { TemperatureC = tempC, HumidityPct = 100 })));
        Assert.Empty(Judge(In(Hour - 25, fair => fair with { TemperatureC = tempC, HumidityPct = 100 })));
        Assert.Empty(
            Judge(In(Hour - 24, fair => fair with { TemperatureC = tempC, HumidityPct = 100 }), new LabelLimit { FrostFreeBeforeH = 12 }));
    }

    [Fact]
    public void Frost_that_was_measured_last_night_counts()
    {
        AirObserved[] night = [.. Enumerable.Range(1, 24).Select(back => new AirObserved(Now.AddHours(-back), back == 9 ? -1 : 6, 80))];
        Only(HourReason.Frost, true, Measured(night));
        Assert.Empty(Measured([.. night.Where(air => air.TemperatureC > 0), new AirObserved(Now.AddHours(-9), 6, null)]));
        // A night of which nothing is known is told and blocks nothing: there may be no thermometer.
        Only(HourReason.Missing, false, Measured([]));

        static IReadOnlyList<HourFault> Measured(AirObserved[] air) =>
            new SprayWeather(Copper, Fair((_, fair) => fair).Hours, [new RainAmount(Now.AddDays(-2), 0)], Now, observedAir: air).Judge(Now);
    }

    [Theory]
    [InlineData(-24, "before")]
    [InlineData(24, "after")]
    public void An_hour_whose_frost_cannot_be_told_blocks_and_says_what_lacks(int away, string side)
    {
        Says("temperature", Judge(In(Hour + away, fair => fair with { TemperatureC = null })));
        Says("humidity", Judge(In(Hour + away, fair => fair with { HumidityPct = null })));

        void Says(string what, IReadOnlyList<HourFault> faults)
        {
            Only(HourReason.Missing, true, faults);
            Assert.Equal($"the forecast lacks the {what} of the 24 h {side}, so frost cannot be ruled out", faults[0].Sentence.Text);
        }
    }

    [Fact]
    public void Rain_at_its_limit_is_rain_forecast_or_measured()
    {
        Only(HourReason.Rain, true, Judge(Rain(Hour, SprayLimits.RainMm)));
        Only(HourReason.Rain, true, Judge((_, fair) => fair, observed: [new(Now.AddMinutes(10), SprayLimits.RainMm)], hour: 0));
    }

    [Fact]
    public void The_hour_that_runs_is_the_forecasts_matter_and_no_past_night()
    {
        var lacking = Fair(In(0, fair => fair with { TemperatureC = null })).Hours;
        var weather = new SprayWeather(Copper, lacking, [new RainAmount(Now.AddDays(-2), 0)], Now, observedAir: Mild());

        Assert.Equal(
            ["the forecast lacks the temperature of the 24 h before, so frost cannot be ruled out"],
            weather.Judge(Now.AddHours(1)).Select(fault => fault.Sentence.Text));
        Assert.DoesNotContain(weather.Judge(Now), fault => fault.Sentence.Text.Contains("night", StringComparison.Ordinal));

        static AirObserved[] Mild() => [.. Enumerable.Range(1, 24).Select(back => new AirObserved(Now.AddHours(-back), 6, 80))];
    }

    [Fact]
    public void Without_coordinates_only_hours_that_are_surely_light_are_fit()
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById("America/Los_Angeles");
        var weather = new SprayWeather(Copper, Fair((_, fair) => fair).Hours, [], Now, zone: zone);
        var light = Enumerable.Range(30, 24).Select(hour => At(hour)).Where(at => weather.Judge(at).Count == 0).ToList();
        Assert.Equal([10, 11, 12, 13, 14], light.Select(at => at.ToOffset(TimeSpan.FromHours(-8)).Hour).Order());
    }

    [Fact]
    public void A_longitude_without_its_minus_names_no_dark_hour()
    {
        // Portland, Oregon, lies at 122.6° west; in November the sun is up there from about 7 to 17 o'clock.
        var zone = TimeZoneInfo.FindSystemTimeZoneById("America/Los_Angeles");
        Assert.True(Daylight.Contradicts(122.6, zone));
        Assert.False(Daylight.Contradicts(-122.6, zone));
        var (slip, right) = (Daylight.Over(45.5, 122.6, zone), Daylight.Over(45.5, -122.6, zone));
        var noonUtc = new DateTimeOffset(2026, 11, 22, 20, 0, 0, TimeSpan.Zero);
        for (var hour = -12; hour < 12; hour++)
            Assert.True(slip(noonUtc.AddHours(hour)) <= right(noonUtc.AddHours(hour)) + 3);
        // Zones that lie far from their meridian: western China by 2.1 h, Galicia by 1.6 h.
        Assert.False(Daylight.Contradicts(76, TimeZoneInfo.FindSystemTimeZoneById("Asia/Shanghai")));
        Assert.False(Daylight.Contradicts(-8.9, TimeZoneInfo.FindSystemTimeZoneById("Europe/Madrid")));
        Assert.False(Daylight.Contradicts(-176.5, TimeZoneInfo.FindSystemTimeZoneById("Pacific/Chatham")));
    }

    [Fact]
    public void A_labels_frost_free_hours_hold_exactly()
    {
        var label = new LabelLimit { FrostFreeAfterH = 6 };
        Func<int, ForecastHour, ForecastHour> Cold(int hour) => In(hour, fair => fair with { TemperatureC = -2 });
        Only(HourReason.Frost, true, Judge(Cold(Hour + 6), label));
        Assert.Empty(Judge(Cold(Hour + 7), label));
    }

    [Fact]
    public void Frost_in_the_hour_itself_is_told_of_that_hour() =>
        Assert.Contains(
            Judge(In(Hour, fair => fair with { TemperatureC = -1, HumidityPct = 100 })),
            fault => fault is { Reason: HourReason.Frost, Blocks: true }
                && fault.Sentence.Text.StartsWith("frost: then -1", StringComparison.Ordinal));

    [Fact]
    public void What_comes_with_every_night_is_known_as_such()
    {
        Assert.True(HourFault.IsOfNight($"dark"));
        Assert.True(HourFault.IsOfNight($"without coordinates it may be dark"));
        Assert.False(HourFault.IsOfNight($"the forecast lacks wind"));
    }

    [Theory]
    [InlineData(0.2, HourReason.WindLow, true)]
    [InlineData(1.0, HourReason.WindLow, false)]
    [InlineData(4.0, HourReason.WindHigh, false)]
    [InlineData(4.6, HourReason.WindHigh, true)]
    public void Wind_is_judged_on_both_sides(double windMs, HourReason reason, bool blocks) =>
        Only(reason, blocks, Judge(In(Hour, fair => fair with { WindMs = windMs })));

    [Fact]
    public void A_labels_wind_overrules_the_usual_limits()
    {
        var label = new LabelLimit { MinWindMs = 0.1, MaxWindMs = 6 };
        Assert.Empty(Judge(In(Hour, fair => fair with { WindMs = 0.1 }), label));
        Assert.Empty(Judge(In(Hour, fair => fair with { WindMs = 6 }), label));
        Only(HourReason.WindHigh, true, Judge(In(Hour, fair => fair with { WindMs = 6.1 }), label));
        Only(HourReason.WindLow, true, Judge(In(Hour, fair => fair with { WindMs = 0.05 }), label));
    }

    [Theory]
    [InlineData(6.001, "wind 6 m/s, just above 6")]
    [InlineData(6.1, "wind 6.1 m/s, above 6")]
    [InlineData(1.999, "wind 2 m/s, just below 2")]
    [InlineData(1.9, "wind 1.9 m/s, below 2")]
    public void What_is_written_like_its_limit_is_told_from_it(double windMs, string says) =>
        Assert.Contains(
            says,
            Judge(In(Hour, fair => fair with { WindMs = windMs }), new LabelLimit { MinWindMs = 2, MaxWindMs = 6 })
                .Select(fault => fault.Sentence.Text));

    [Fact]
    public void Temperatures_outside_the_labels_or_the_usual_limits_block()
    {
        // So cool an hour is near frost as well, by its wet bulb.
        Assert.Contains(
            Judge(In(Hour, fair => fair with { TemperatureC = 4.3 })),
            fault => fault is { Reason: HourReason.TooCold, Blocks: true });
        Assert.DoesNotContain(Judge(In(Hour, fair => fair with { TemperatureC = Unit.Fahrenheit.ToReckoned(40) })), fault => fault.Blocks);
        Only(HourReason.TooCold, true, Judge(In(Hour, fair => fair with { TemperatureC = 9 }), new() { MinTemperatureC = 10 }));
        Only(HourReason.TooWarm, true, Judge(In(Hour, fair => fair with { TemperatureC = 21 }), new() { MaxTemperatureC = 20 }));
        Only(HourReason.TooWarm, true, Judge(In(Hour, fair => fair with { TemperatureC = 30, HumidityPct = 60 }), product: LimeSulfur));
        Assert.Empty(Judge(In(Hour, fair => fair with { TemperatureC = 30, HumidityPct = 60 })));
    }

    // Ontario spraying factsheet: not below 40 % humidity above 25 °C.
    [Fact]
    public void Hot_and_dry_at_once_blocks()
    {
        var faults = Judge(In(Hour, fair => fair with { TemperatureC = 26, HumidityPct = 39 }));
        Assert.Contains(faults, fault => fault is { Reason: HourReason.HotDry, Blocks: true });
        Assert.DoesNotContain(
            Judge(In(Hour, fair => fair with { TemperatureC = 26, HumidityPct = 40 })),
            fault => fault.Reason == HourReason.HotDry);
        Assert.DoesNotContain(
            Judge(In(Hour, fair => fair with { TemperatureC = 25, HumidityPct = 39 })),
            fault => fault.Reason == HourReason.HotDry);
    }

    // Delta-T at 20 °C and 50 %: 6.2166 by the ASHRAE wet bulb, 6.1579 by the psychrometer of WMO-No. 8, which is used here;
    // 10 °C and 90 %: 0.8356; 30 °C and 50 %: 7.9134. Computed independently, not published.
    [Theory]
    [InlineData(20, 50, 6.1579, null, false)]
    [InlineData(10, 90, 0.8356, HourReason.DeltaTLow, false)]
    [InlineData(30, 50, 7.9134, null, false)]
    [InlineData(30, 45, 8.8564, HourReason.DeltaTHigh, false)]
    [InlineData(24.9, 20, 12.3277, HourReason.DeltaTHigh, true)]
    public void Delta_T_is_the_psychrometers_and_judged_by_its_table(double t, double rh, double deltaTC, HourReason? reason, bool blocks)
    {
        var hours = Fair(In(Hour, fair => fair with { TemperatureC = t, HumidityPct = rh })).Hours;
        var weather = new SprayWeather(Copper, hours, [], Now);

        Assert.Equal(deltaTC, weather.DeltaTC(At(Hour))!.Value, 1e-4);
        if (reason is { } expected)
            Only(expected, blocks, weather.Judge(At(Hour)));
        else
            Assert.Empty(weather.Judge(At(Hour)));
    }

    // Source: PsychroLib (MIT). Its wet bulb is the thermodynamic one; a psychrometer's differs by up to 0.23 °C.
    [Fact]
    public void Delta_T_agrees_with_the_reference_library_over_the_weather_of_spraying()
    {
        var path = OutsideData.Carried("psychro_grid_psychrolib.csv");
        var rows = OutsideData
            .Rows(path)
            .Select(row =>
                (
                    T: Number(row["T_C"]),
                    Rh: Number(row["RH_pct"]),
                    Hpa: Number(row["P_Pa"]) / 100,
                    DeltaT: Number(row["deltaT_C"]),
                    Wet: Number(row["Twet_C"])))
            .Where(row => row is { T: >= 2 and <= 35, Rh: >= 20, Wet: > 0 })
            .ToList();
        Assert.True(rows.Count > 50);

        foreach (var row in rows)
        {
            var hours = Fair(In(0, fair => fair with { TemperatureC = row.T, HumidityPct = row.Rh })).Hours;
            Assert.Equal(row.DeltaT, new SprayWeather(Copper, hours, [], Now, pressureHpa: row.Hpa).DeltaTC(Now)!.Value, 0.25);
        }
    }

    // Source: sunrise and sunset by the NOAA equations, computed independently; from 1.5 h before sunset to 1.5 h after
    // sunrise an inversion is possible (middle of Australian advice).
    [Fact]
    public void Inversions_are_possible_around_the_night_and_the_night_is_dark()
    {
        var path = OutsideData.Carried("sunrise_sunset.csv");
        var days = OutsideData.Rows(path).Where(row => row["noaaF_rise"].EndsWith('Z') && row["noaaF_set"].EndsWith('Z')).ToList();
        Assert.True(days.Count > 20);

        foreach (var day in days)
            CheckDay(Time(day["noaaF_rise"]), Time(day["noaaF_set"]));
    }

    [Fact]
    public void The_same_for_an_invented_day() => CheckDay(Now.Date.AddHours(7.75), Now.Date.AddHours(16.5));

    private static void CheckDay(DateTime riseUtc, DateTime setUtc)
    {
        var (rise, set) = (new DateTimeOffset(riseUtc, TimeSpan.Zero), new DateTimeOffset(setUtc, TimeSpan.Zero));
        double Sun(DateTimeOffset at) => at >= rise && at <= set ? 5 : -5;
        var first = new DateTimeOffset(rise.Year, rise.Month, rise.Day, rise.Hour, 0, 0, TimeSpan.Zero).AddHours(-40);
        foreach (var windMs in new[] { 2.4, 11 / 3.6 })
        {
            var hours = Enumerable.Range(0, 130).Select(i => FairHour(first.AddHours(i)) with { WindMs = windMs }).ToList();
            var weather = new SprayWeather(Copper, hours, [], first, Sun);
            for (var start = first.AddHours(38); start < set.AddHours(2); start = start.AddHours(1))
            {
                var faults = weather.Judge(start);
                var dark = start < rise || start.AddHours(1) > set;
                var near = start < rise.AddMinutes(90) || start.AddHours(1) > set.AddMinutes(-90);
                Assert.Equal(dark, faults.Any(fault => fault is { Reason: HourReason.Dark, Blocks: true }));
                Assert.Equal(near && !dark && windMs < 3, faults.Any(fault => fault is { Reason: HourReason.Inversion, Blocks: true }));
            }
        }
    }

    [Fact]
    public void Without_sun_and_zone_neither_is_judged() =>
        Assert.All(Enumerable.Range(24, 24), hour => Assert.Empty(Judge((_, fair) => fair, hour: hour)));

    [Fact]
    public void What_the_forecast_does_not_say_blocks()
    {
        foreach (var change in new Func<ForecastHour, ForecastHour>[]
        {
            fair => fair with { TemperatureC = null },
            fair => fair with { HumidityPct = null },
            fair => fair with { WindMs = null },
            fair => fair with { RainMm = null, RainProbabilityPct = null },
        })
        {
            Only(HourReason.Missing, true, Judge(In(Hour, change)));
        }

        Only(HourReason.Missing, true, Judge((_, fair) => fair, hour: 400));
        // Nor is it known what comes after the last hour.
        Assert.Contains(Judge((_, fair) => fair, hour: 262), fault => fault is { Reason: HourReason.Missing, Blocks: true });
    }

    private static DateTime Time(string text) => DateTime.Parse(text, CultureInfo.InvariantCulture, DateTimeStyles.AdjustToUniversal);

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
