namespace BackyardSentinel.Tests.Phenology;

public class DailyTemperatureTests
{
    private static readonly Gen<DailyExtremes> Extremes =
        Gen.Select(Gen.Double[-20, 25], Gen.Double[0, 25]).Select((min, swing) => new DailyExtremes(min, min + swing));

    /// <summary>Days with 4 to 20 h of daylight, the middle of which lies within an hour and a half of twelve.</summary>
    private static readonly Gen<CurveDay> Day = Gen.Select(Extremes, Gen.Double[4, 20], Gen.Double[10.5, 13.5])
        .Select((extremes, daylight, middle) => new CurveDay(extremes, middle - (daylight / 2), middle + (daylight / 2)));

    private static readonly Gen<(CurveDay Yesterday, CurveDay Today, CurveDay Tomorrow)> ThreeDays = Gen.Select(Day, Day, Day);

    // Source: chillR 0.77 (an R package; values only) on two winter months at Klein-Altendorf, with its own sunrise and
    // sunset. Daylight and evening follow the same equations. Before dawn chillR takes another divisor and yesterday's
    // sunset with today's length of day, steps at midnight and falls below the minimum: there ours differs on purpose.
    // The last evening is padded in the table.
    [Fact]
    public void Daylight_and_evening_agree_with_the_reference_package_and_the_dawn_reaches_the_minimum()
    {
        var path = OutsideData.Reference("linvill_hourly_from_daily_chillR.csv");
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);
        var rows = OutsideData.Rows(path);
        var days = rows.ConvertAll(row => new CurveDay(
            new(Number(row["Tmin"]), Number(row["Tmax"])), Number(row["Sunrise"]), Number(row["Sunset"])));
        var (daylight, evening) = (0, 0);

        for (var i = 1; i + 1 < days.Count; i++)
        {
            for (var hour = 0; hour < 24; hour++)
            {
                if (hour < days[i].SunriseHour)
                    continue;
                Assert.Equal(Number(rows[i][$"Hour_{hour}"]), DailyTemperature.At(hour, days[i - 1], days[i], days[i + 1]), 1e-7);
                if (hour <= days[i].SunsetHour)
                    daylight++;
                else
                    evening++;
            }

            Assert.Equal(days[i].Extremes.MinC, DailyTemperature.At(days[i].SunriseHour, days[i - 1], days[i], days[i + 1]), 1e-9);
        }

        Assert.True(daylight > 480 && evening > 400);
    }

    // Linvill 1990, the curve's meaning: minimum at sunrise, maximum two hours after the middle of the day.
    [Fact]
    public void A_day_begins_at_its_minimum_and_tops_two_hours_after_its_middle()
    {
        var (cool, mild) = (new CurveDay(new(2, 9), 7, 17), new CurveDay(new(5, 15), 7, 17));

        Assert.Equal(5, DailyTemperature.At(7, cool, mild, cool), 1e-12);
        Assert.Equal(15, DailyTemperature.At(14, cool, mild, cool), 1e-12);
        Assert.Equal(5 + (10 * Math.Sin(10 * Math.PI / 14)), DailyTemperature.At(17, cool, mild, cool), 1e-12);
    }

    // Source: fruclimadapt 0.4.5 (an R package; values only), chill and heat at Tudela from its own variant of the curve,
    // which takes the sun's hours as whole ones. The allowance of two percent for another variant is assumed.
    [Fact]
    public void Chill_and_heat_from_daily_extremes_at_Tudela_are_within_two_percent_of_another_program()
    {
        var path = OutsideData.Reference("tudela_daily_chill_heat.csv");
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);
        var rows = OutsideData.Rows(path);
        var days = rows.ConvertAll(row =>
        {
            var halfDay = SunTimes.DayLengthHours(int.Parse(row["DOY"], CultureInfo.InvariantCulture), 42.13132) / 2;
            return new CurveDay(new(Number(row["Tmin"]), Number(row["Tmax"])), 12 - halfDay, 12 + halfDay);
        });
        var model = new DynamicModel();
        var hours = new double[24];
        var (winters, before, heat, otherHeat) = (0, 0.0, 0.0, 0.0);

        for (var i = 1; i + 1 < days.Count; i++)
        {
            if (rows[i]["Month"] is "11" && rows[i]["Day"] is "1")
                before = model.Portions;
            for (var hour = 0; hour < 24; hour++)
                hours[hour] = DailyTemperature.At(hour, days[i - 1], days[i], days[i + 1]);
            foreach (var tempC in hours)
                model.Add(tempC);
            if (rows[i]["Month"] is "3" && rows[i]["Day"] is "31" && rows[i]["Year"] is not "2000")
            {
                winters++;
                var other = Number(rows[i]["CP_cum_since_Nov1"]);
                Assert.Equal(other, model.Portions - before, other * 0.02);
            }

            heat += hours.Sum(GrowingDegreeHours.Linear47);
            otherHeat += Number(rows[i]["GDHlin47_day"]);
        }

        Assert.Equal(3, winters);
        Assert.Equal(otherHeat, heat, otherHeat * 0.02);
    }

    [Fact]
    public void The_minimum_stands_at_sunrise_and_the_maximum_is_reached_and_not_passed() =>
        ThreeDays.Sample(days =>
        {
            var (yesterday, today, tomorrow) = days;
            var topHour = today.SunriseHour + ((today.DaylightHours + 4) / 2);
            var highest = Math.Max(today.Extremes.MaxC, yesterday.Extremes.MaxC);
            var lowest = Math.Min(today.Extremes.MinC, Math.Min(yesterday.Extremes.MinC, tomorrow.Extremes.MinC));

            Assert.Equal(today.Extremes.MinC, At(today.SunriseHour, days), 1e-9);
            Assert.Equal(today.Extremes.MaxC, At(topHour, days), 1e-9);
            for (var hour = 0.0; hour <= 24; hour += 0.25)
                Assert.InRange(At(hour, days), lowest - 1e-9, Math.Max(highest, tomorrow.Extremes.MinC) + 1e-9);
            for (var hour = today.SunriseHour; hour <= today.SunsetHour; hour += 0.25)
                Assert.InRange(At(hour, days), today.Extremes.MinC - 1e-9, today.Extremes.MaxC + 1e-9);
        });

    [Fact]
    public void The_curve_is_continuous_at_sunrise_sunset_and_midnight() =>
        Gen.Select(ThreeDays, Day).Sample((days, after) =>
        {
            const double Moment = 1e-9;
            var (yesterday, today, tomorrow) = days;
            Assert.Equal(At(today.SunsetHour, days), At(today.SunsetHour + Moment, days), 1e-6);
            Assert.Equal(At(today.SunriseHour, days), At(today.SunriseHour - Moment, days), 1e-6);
            Assert.Equal(At(24, days), DailyTemperature.At(0, today, tomorrow, after), 1e-9);
        });

    [Fact]
    public void A_night_falls_or_rises_all_the_way_and_slows_down() =>
        ThreeDays.Sample(days =>
        {
            var steps = Enumerable
                .Range(0, 6)
                .Select(quarter => days.Today.SunsetHour + (quarter * (24 - days.Today.SunsetHour) / 6))
                .ToList();
            var changes = steps.Zip(steps.Skip(1), (from, to) => At(to, days) - At(from, days)).ToList();

            Assert.Single(changes.Select(Math.Sign).Distinct());
            Assert.All(changes.Zip(changes.Skip(1)), pair => Assert.True(Math.Abs(pair.Second) <= Math.Abs(pair.First)));
        });

    [Fact]
    public void A_warmer_day_is_nowhere_cooler() =>
        Gen.Select(ThreeDays, Gen.Double[0, 5], Gen.Double[0, 24]).Sample((days, warmer, hour) =>
        {
            var warm = (Warm(days.Yesterday), Warm(days.Today), Warm(days.Tomorrow));
            Assert.Equal(At(hour, days) + warmer, At(hour, warm), 1e-9);

            CurveDay Warm(CurveDay day) =>
                new(new(day.Extremes.MinC + warmer, day.Extremes.MaxC + warmer), day.SunriseHour, day.SunsetHour);
        });

    [Fact]
    public void Sun_told_by_a_clock_some_hours_off_gives_the_same_course_that_many_hours_later() =>
        Gen.Select(Extremes, Gen.Double[6, 16], Gen.Int[-14, 14], Gen.Double[0, 24]).Sample((extremes, daylight, shift, hour) =>
        {
            var plain = new CurveDay(extremes, 12 - (daylight / 2), 12 + (daylight / 2));
            var shifted = new CurveDay(extremes, plain.SunriseHour + shift, plain.SunsetHour + shift);
            var sunHour = (((hour - shift) % 24) + 24) % 24;
            Assert.Equal(DailyTemperature.At(sunHour, plain, plain, plain), DailyTemperature.At(hour, shifted, shifted, shifted), 1e-6);
        });

    [Fact]
    public void Without_sunrise_or_without_sunset_the_day_has_its_mean()
    {
        var plain = new CurveDay(new(-4, 6), 9, 15);
        foreach (var polar in new[] { new CurveDay(new(-8, 2), 12, 12), new CurveDay(new(-8, 2), 0, 24) })
        {
            for (var hour = 0; hour <= 24; hour++)
                Assert.Equal(-3, DailyTemperature.At(hour, plain, polar, plain));
        }
    }

    [Fact]
    public void A_day_beside_a_polar_one_still_has_a_course()
    {
        var extremes = new DailyExtremes(-8, 2);
        var (dark, bright, plain) = (new CurveDay(extremes, 12, 12), new CurveDay(extremes, 0, 24), new CurveDay(extremes, 9, 15));
        foreach (var (before, after) in new[] { (dark, plain), (plain, dark), (bright, plain), (plain, bright) })
        {
            for (var hour = 0.0; hour <= 24; hour += 0.5)
                Assert.InRange(DailyTemperature.At(hour, before, plain, after), -8, 2);
        }
    }

    [Fact]
    public void A_day_takes_its_hours_from_the_sun()
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana");
        var midnight = new DateTimeOffset(2027, 2, 10, 0, 0, 0, TimeSpan.FromHours(1));
        var extremes = new DailyExtremes(-2, 6);
        var sun = SunTimes.On(new(2027, 2, 10), 46.05, 14.5, zone);
        var day = CurveDay.Under(sun, midnight, extremes);

        // Common knowledge of the place and season: up a little after seven, down after five.
        Assert.InRange(day.SunriseHour, 7, 7.5);
        Assert.InRange(day.SunsetHour, 17, 17.6);
        Assert.Equal(0, CurveDay.Under(SunTimes.On(new(2027, 12, 21), 69.65, 18.96, zone), midnight, extremes).DaylightHours);
        Assert.Equal(24, CurveDay.Under(SunTimes.On(new(2027, 6, 20), 69.65, 18.96, zone), midnight, extremes).DaylightHours);
    }

    [Fact]
    public void Input_that_cannot_be_is_refused()
    {
        var extremes = new DailyExtremes(1, 2);
        var day = new CurveDay(extremes, 7, 17);
        Assert.Throws<ArgumentOutOfRangeException>(() => new DailyExtremes(2, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => new DailyExtremes(double.NaN, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => new DailyExtremes(1, double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => new CurveDay(extremes, 18, 17));
        Assert.Throws<ArgumentOutOfRangeException>(() => new CurveDay(extremes, -4, 21));
        Assert.Throws<ArgumentOutOfRangeException>(() => new CurveDay(extremes, double.NaN, 17));
        Assert.Throws<ArgumentOutOfRangeException>(() => DailyTemperature.At(24.5, day, day, day));
        Assert.Throws<ArgumentOutOfRangeException>(() => DailyTemperature.At(double.NaN, day, day, day));
    }

    private static double At(double hour, (CurveDay Yesterday, CurveDay Today, CurveDay Tomorrow) days) =>
        DailyTemperature.At(hour, days.Yesterday, days.Today, days.Tomorrow);

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
