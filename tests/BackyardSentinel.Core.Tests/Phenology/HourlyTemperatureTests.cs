namespace BackyardSentinel.Tests.Phenology;

public class HourlyTemperatureTests
{
    // Source: the season's chill portions of Seattle's hourly normals (NOAA 1981–2010), as chillR 0.77 sums them up to the
    // end of April: 94.13. Filling gaps of 2, 8 and 20 hours should move that by a few percent only (tolerance assumed).
    [Theory]
    [InlineData(2, 0.01)]
    [InlineData(8, 0.03)]
    [InlineData(20, 0.05)]
    public void Chill_over_filled_gaps_stays_close_to_that_of_the_reference_package(int gapHours, double tolerance)
    {
        var path = OutsideData.Carried("chill_gdh_seattle_normals_hourly.csv");
        var model = new DynamicModel();
        var hours = new HourlyTemperature(
            TimeZoneInfo.FindSystemTimeZoneById("America/Los_Angeles"),
            47.6,
            -122.3,
            hour => model.Add(hour.TempC));

        var i = 0;
        foreach (var row in OutsideData.Rows(path).Take(2879))
        {
            var start = DateTimeOffset.Parse(row["date"], CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal).AddHours(8);
            // Every third day a gap begins, at another hour each time.
            if (i++ % 77 >= gapHours || i < 77)
                hours.Add(Interval(start, 60, double.Parse(row["T"], CultureInfo.InvariantCulture)));
        }

        Assert.Equal(94.134, model.Portions, 94.134 * tolerance);
    }

    [Fact]
    public void A_measured_hour_is_the_mean_weighted_by_coverage()
    {
        var hours = Hours([Interval(At(0), 30, 4), Interval(At(0.5), 30, 10, coverage: 0.5)]);

        Assert.Equal([new HourTemperature(At(0), 6, HourSource.Measured)], hours);
    }

    [Fact]
    public void An_hour_counts_from_half_coverage_on()
    {
        Assert.Single(Hours([Interval(At(0), 30, 4), Interval(At(0.5), 30, null)]));
        Assert.Empty(Hours([Interval(At(0), 30, 4, coverage: 0.99), Interval(At(0.5), 30, null)]));
        Assert.Empty(Hours([Interval(At(0), 20, 4), Interval(At(1), 20, 4)]));
    }

    [Fact]
    public void An_hour_that_breaks_off_counts_by_itself()
    {
        Assert.Equal([4, 8], Hours([Interval(At(0), 40, 4), Interval(At(1), 60, 8)]).Select(hour => hour.TempC));
        Assert.Equal([8], Hours([Interval(At(0), 20, 4), Interval(At(1), 60, 8)]).Select(hour => hour.TempC));
    }

    [Fact]
    public void A_gap_of_three_hours_is_a_straight_line()
    {
        var hours = Hours([Interval(At(0), 60, 4), Interval(At(4), 60, 8)]);

        Assert.Equal([4, 5, 6, 7, 8], hours.Select(hour => hour.TempC));
        Assert.Equal(
            [HourSource.Measured, HourSource.Interpolated, HourSource.Interpolated, HourSource.Interpolated, HourSource.Measured],
            hours.Select(hour => hour.Source));
    }

    [Theory]
    [InlineData(4, HourSource.Curve)]
    [InlineData(24, HourSource.Curve)]
    [InlineData(25, HourSource.Flagged)]
    [InlineData(100, HourSource.Flagged)]
    public void A_longer_gap_is_filled_by_a_days_curve_and_flagged_beyond_a_day(int gapHours, HourSource expected)
    {
        var known = Winter.Hours(At(0), 3).ToList();
        var after = Winter.Hours(At(72 + gapHours), 1).First();
        var hours = Hours([.. known.Append(after).Select(hour => Interval(hour.Start, 60, hour.TempC))]);

        Assert.Equal(72 + gapHours + 1, hours.Count);
        Assert.All(hours.Skip(72).Take(gapHours), hour => Assert.Equal(expected, hour.Source));
        for (var i = 1; i < hours.Count; i++)
            Assert.Equal(hours[i - 1].End, hours[i].Start);
    }

    // The invented year swings by 10 °C a day; a gap from morning to morning that were drawn straight
    // would miss noon and night.
    [Theory]
    [InlineData(0)]
    [InlineData(15)] // Warmer on the first day alone: the last day that was known whole counts, not one before.
    public void A_filled_day_has_a_cold_night_and_a_warm_noon(double moreOnTheFirstDay)
    {
        var all = Winter.Hours(At(0), 6, at => at < At(24) ? moreOnTheFirstDay : 0).ToList();
        var hours = Hours([.. all.Where((_, i) => i is < 82 or > 104).Select(hour => Interval(hour.Start, 60, hour.TempC))]);

        var filled = hours.Where(hour => hour.Source == HourSource.Curve).ToList();
        Assert.Equal(23, filled.Count);
        foreach (var hour in filled)
            Assert.Equal(all[(int)(hour.Start - At(0)).TotalHours].TempC, hour.TempC, 4.5);
        Assert.Equal(all.Skip(82).Take(23).Max(hour => hour.TempC), filled.Max(hour => hour.TempC), 1.5);
        Assert.Equal(all.Skip(82).Take(23).Min(hour => hour.TempC), filled.Min(hour => hour.TempC), 1.5);
    }

    [Fact]
    public void A_gap_joins_its_neighbours_without_a_step()
    {
        var all = Winter.Hours(At(0), 6).ToList();
        var hours = Hours([.. all.Where((_, i) => i is < 80 or > 92).Select(hour => Interval(hour.Start, 60, hour.TempC))]);

        for (var i = 79; i <= 93; i++)
            Assert.InRange(hours[i].TempC - hours[i - 1].TempC, -3.5, 3.5);
    }

    [Fact]
    public void Hours_before_the_first_reading_are_not_invented() =>
        Assert.Equal(At(5), Hours([Interval(At(0), 60, null), Interval(At(1), 60, null), Interval(At(5), 60, 3)])[0].Start);

    [Fact]
    public void Short_and_long_intervals_of_the_same_means_give_the_same_hours() =>
        Gen.Select(
                Gen.Double[-10, 25].Array[24, 60],
                Gen.Bool.Array[60],
                Gen.OneOf(Gen.Const(5), Gen.Const(10), Gen.Const(15), Gen.Const(20), Gen.Const(30)))
            .Sample(
                (temps, silent, minutes) =>
                {
                    var whole = new List<WeatherInterval>();
                    var split = new List<WeatherInterval>();
                    for (var i = 0; i < temps.Length; i++)
                    {
                        double? tempC = silent[i] ? null : temps[i];
                        whole.Add(Interval(At(i), 60, tempC));
                        for (var m = 0; m < 60; m += minutes)
                            split.Add(Interval(At(i).AddMinutes(m), minutes, tempC));
                    }

                    // Hours are rounded to a millionth, to which two ways of adding up may round apart.
                    var (one, other) = (Hours([.. whole]), Hours([.. split]));
                    Assert.Equal(one.Select(hour => (hour.Start, hour.Source)), other.Select(hour => (hour.Start, hour.Source)));
                    Assert.All(one.Zip(other), pair => Assert.Equal(pair.First.TempC, pair.Second.TempC, 5e-6));
                });

    [Fact]
    public void Intervals_out_of_order_or_across_hours_are_refused()
    {
        Assert.Throws<ArgumentException>(() => Hours([Interval(At(1), 60, 4), Interval(At(0), 60, 4)]));
        Assert.Throws<ArgumentException>(() => Hours([Interval(At(0.5), 60, 4)]));
    }

    private static DateTimeOffset At(double hours) => Winter.Utc(2027, 1, 10).AddHours(hours);

    private static WeatherInterval Interval(DateTimeOffset start, int minutes, double? tempC, double coverage = 1) => new(
        start, TimeSpan.FromMinutes(minutes), tempC, null, null, null, null, 0, tempC is null ? 0 : coverage, 0);

    private static List<HourTemperature> Hours(IReadOnlyList<WeatherInterval> intervals)
    {
        var hours = new List<HourTemperature>();
        var stream = new HourlyTemperature(TimeZoneInfo.Utc, null, null, hours.Add);
        foreach (var interval in intervals)
            stream.Add(interval);
        return hours;
    }
}
