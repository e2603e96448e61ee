namespace BackyardSentinel.Tests.Phenology;

// What a look at the swell rests on, at the limits of each source. That a day is whole from 0.9 of it on is assumed.
public sealed class SwellOutlookTests
{
    private static readonly DateTimeOffset Now = Winter.Utc(2027, 1, 2);

    private static readonly List<HourTemperature> Year = [.. Winter.Hours(Winter.Utc(2026, 9, 1), 364)];

    private static readonly Site Garden = new()
    {
        Id = "garden",
        Zone = Winter.Madrid,
        LatitudeDeg = Winter.Latitude,
        LongitudeDeg = Winter.Longitude,
        Climate = DailyClimate.FromMonths([-2, -1, 2, 5, 9, 12, 14, 14, 10, 6, 2, -1], [4, 6, 10, 15, 19, 23, 25, 25, 21, 15, 9, 5]),
    };

    [Theory]
    [InlineData(0.9, "the garden's one past year, which is little to go by")]
    [InlineData(0.8999, "a table of monthly temperatures")]
    public void A_garden_goes_by_its_own_days_once_they_are_whole_and_make_up_a_year(double coverage, string basis)
    {
        DayWeather[] past =
        [
            new(new DateOnly(2025, 8, 30), null, null, 8, 0, 1),
            new(new DateOnly(2025, 8, 31), null, 8, null, 0, 1),
            .. Winter.Hours(Winter.Utc(2025, 9, 1), 365).GroupBy(hour => DateOnly.FromDateTime(hour.Start.UtcDateTime)).Select(day =>
                new DayWeather(day.Key, null, day.Min(hour => hour.TempC), day.Max(hour => hour.TempC), 0, coverage)),
        ];
        var swell = new SwellOutlook(Garden, past, true, null, Now).Expect(Measured(), []);

        Assert.Equal(
            $"From the sums so far and {basis}; chilling is still to be met. "
                + "The needs are the published default and may not fit the variety. The range is that of the tree's needs: weather that is "
                + "not usual can bring the day a week or two before or after it.",
            swell.Basis.Text);
    }

    [Theory]
    [InlineData(0, true)]
    [InlineData(-720, true)]
    [InlineData(-721, false)]
    [InlineData(10, true)]
    [InlineData(11, false)]
    public void A_forecast_counts_that_is_neither_stale_nor_ahead(int issuedMinutes, bool counts)
    {
        var hours = Year.Where(hour => hour.Start >= Now).Take(48).Select((hour, i) =>
            new ForecastHour(hour.Start, i % 2 == 0 ? hour.TempC : null, 90, 0));
        var forecast = new Forecast("invented", Now.AddMinutes(issuedMinutes), [.. hours]);
        var swell = new SwellOutlook(Garden, [], true, forecast, Now).Expect(Measured(), []);

        Assert.StartsWith(
            counts ? "From the sums so far, the forecast and, after it, a table of monthly temperatures; "
                : "From the sums so far and a table of monthly temperatures; ",
            swell.Basis.Text,
            StringComparison.Ordinal);
    }

    [Fact]
    public void Without_any_measurement_the_usual_year_gives_a_guess()
    {
        const string guessed = "A guess from usual temperatures, since too few were measured this winter; the day may lie well outside the "
            + "range. From the sums so far and a table of monthly temperatures; ";
        const string needs = "The needs are the published default and may not fit the variety.";
        const string nothing = "The bud stage is unknown: nothing has been measured yet.";
        var swell = Look(Now);
        Assert.Equal($"{guessed}chilling is still to be met. {needs}", swell.Basis.Text);
        Assert.Equal("2027-03-17 2027-03-19 2027-03-20", Days(swell));
        swell = Look(Winter.Utc(2027, 2, 20));
        Assert.Equal("2027-03-17 2027-03-19 2027-03-20", Days(swell));
        Assert.Equal($"{guessed}chilling was met on 2027-01-28. {needs}", swell.Basis.Text);

        // Once the usual year would have brought it, it is still a guess; what was seen is none.
        swell = Look(Winter.Utc(2027, 5, 1));
        Assert.Equal("2027-03-17 2027-03-19 2027-03-20", Days(swell));
        Assert.StartsWith("A guess from usual temperatures", swell.Basis.Text, StringComparison.Ordinal);
        swell = Look(Winter.Utc(2027, 3, 1), seen: "2027-02-25");
        Assert.Equal(("2027-02-25 2027-02-25 2027-02-25", "The leaf buds were seen to swell."), (Days(swell), swell.Basis.Text));
        swell = Look(Winter.Utc(2027, 2, 25), seen: "2027-02-25");
        Assert.Equal(("2027-02-25 2027-02-25 2027-02-25", "The leaf buds were seen to swell."), (Days(swell), swell.Basis.Text));
        // What was seen in another season says nothing.
        Assert.Equal(Days(Look(Now)), Days(Look(Now, seen: "2026-04-01")));

        // Where something was measured, or nothing is usual, or there are no seasons, nothing is guessed.
        Assert.Equal(nothing, Look(Now, isMeasured: true).Basis.Text);
        Assert.Equal(nothing, Look(Now, site: Garden with { Climate = null }).Basis.Text);
        Assert.StartsWith(
            "The bud stage is unknown", Look(Now, site: Garden with { LatitudeDeg = null }).Basis.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Stages_ahead_are_told_once_a_model_knows_time_and_season()
    {
        var outlook = new SwellOutlook(Garden, [], true, null, Now);
        Assert.NotNull(outlook.StagesOf(Measured()));
        Assert.Null(outlook.StagesOf(new Told([]).Model));
        Assert.Null(outlook.StagesOf(new Told(Year.Take(100), latitude: null).Model));
    }

    private static StageModel Measured() => new Told(Year.Where(hour => hour.End <= Now)).Model;

    private static BudSwell Look(DateTimeOffset now, string? seen = null, bool isMeasured = false, Site? site = null)
    {
        site ??= Garden;
        List<StageEntry> entries = seen is null ? [] : [new StageEntry(1, "garden", "tree", RecordedYear.Date(seen), 1)];
        var model = new StageModel(
            StageNeeds.Default, new SeasonCalendar(site.LatitudeDeg), site.Zone, StageObserved.From(entries));
        return new SwellOutlook(site, [], isMeasured, null, now).Expect(model, entries);
    }

    private static string Days(BudSwell swell) => $"{swell.Early:yyyy-MM-dd} {swell.Expected:yyyy-MM-dd} {swell.Late:yyyy-MM-dd}";
}
