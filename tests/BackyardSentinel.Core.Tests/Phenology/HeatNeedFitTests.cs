namespace BackyardSentinel.Tests.Phenology;

public class HeatNeedFitTests
{
    private const double Present = 4767;

    // Source: the daily record of a station in Navarra (fruclimadapt 0.4.5). Bloom on the days that the published need of
    // 4016 degree hours gives must lead back to that need, and to errors far below the published 4 days.
    [Fact]
    public void Bloom_days_of_the_published_need_lead_back_to_it()
    {
        var path = OutsideData.Reference("tudela_daily_chill_heat.csv");
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);
        var hours = Winter.Curve([.. Winter.Record(path).Select(row => (row.Day, row.Extremes))]).ToList();
        var blooms = new Told(hours)
            .Stages.Where(stage => stage.Stage.Code == 60 && stage.On.Year > 2000)
            .Select(stage => stage.On)
            .ToList();

        Assert.True(Fit([.. blooms.Select(day => new FitSeason(day, hours))], out var fit, out _));

        Assert.Equal(3, fit!.Years);
        Assert.InRange(fit.HeatNeed, 4016 * 0.99, 4016 * 1.01);
        Assert.InRange(fit.RmseDays, 0, 1);
        Assert.InRange(fit.LeaveOneOutRmseDays, fit.RmseDays, 1.5);
    }

    [Fact]
    public void Years_that_disagree_show_it_in_their_errors()
    {
        var (first, second) = (Season(2026), Season(2027));
        var bloom = new Told(first).Of(60).On;
        Assert.True(Fit([new(bloom, first), new(bloom.AddYears(1).AddDays(10), second)], out var fit, out _));

        // Ten days apart and one by their spring: five and six from the middle, eleven from each other.
        Assert.Equal(4757.76, fit!.HeatNeed, 2);
        Assert.Equal((Math.Sqrt(30.5), 11), (fit.RmseDays, fit.LeaveOneOutRmseDays));
    }

    // Three days of hours, or a tenth of all since 1 November, may be lacking. Assumed.
    [Theory]
    [InlineData("2027-04-10", 62.5, 383)] // A tenth of 3839 hours, one less by the clock of summer.
    [InlineData("2026-11-29", 5, 72)]
    public void A_season_serves_until_too_many_of_its_hours_are_lacking(string seenOn, double chillNeed, int serves)
    {
        var (seen, from, refused) = (RecordedYear.Date(seenOn), Winter.Utc(2026, 10, 31, 23), serves + 1);
        Assert.True(Lacking(serves, HourSource.Flagged));
        Assert.False(Lacking(refused, HourSource.Flagged));
        Assert.False(Lacking(refused, null));
        Assert.True(Lacking(refused, HourSource.Curve));
        // What lacks before chill counts, or from the day of sight on, spoils nothing.
        Assert.True(Lacking(refused, HourSource.Flagged, from.AddHours(-refused)));
        Assert.True(Lacking(refused, HourSource.Flagged, LocalDay.StartOf(seen, Winter.Madrid)));

        bool Lacking(int hours, HourSource? source, DateTimeOffset? begin = null)
        {
            var at = begin ?? from.AddDays(2);
            List<HourTemperature> known =
            [
                .. Season(2026)
                    .Select(hour => hour.Start < at || hour.Start >= at.AddHours(hours) ? hour
                        : hour with { Source = source ?? HourSource.Flagged })
                    .Where(hour => source is not null || hour.Source != HourSource.Flagged),
            ];
            return Fit([new(seen, known), new(seen, known)], out _, out _, chillNeed);
        }
    }

    [Fact]
    public void A_season_is_set_aside_from_a_week_off_on_with_what_to_look_at()
    {
        var years = Springs(9);
        var fits = Enumerable.Range(1, 14)
            .Select(days => Fitted([years[0] with { SeenOn = years[0].SeenOn.AddDays(days) }, .. years.Skip(1)])).ToList();
        Assert.Equal(
            [null, null, null, null, null, null, 7, 8, 9, 10, 11, 12, 13, 14],
            fits.Select(fit => fit.SetAside is [var one] ? one.DaysOff : null));
        Assert.Equal(
            "Seen on 2021-04-16, 9 days after the day that the other seasons give (2021-04-07): it does not agree with them. "
                + "Look whether the day, the stage and the tree were noted right, and where the thermometer hung.",
            Assert.Single(fits[8].SetAside).Why);
    }

    [Fact]
    public void Seasons_that_cannot_serve_are_refused_with_a_reason()
    {
        var (first, second) = (Season(2026), Season(2027));
        var bloom = new Told(first).Of(60).On;
        var good = new FitSeason(bloom.AddYears(1), second);

        Refused("1 season; a fit takes 2 or more", [good]);
        Refused("too few are known", [good, new(bloom, [.. first.Where(hour => hour.Start >= Winter.Utc(2027, 2, 1))])]);
        Refused("too few are known", [good, new(bloom, [])]);
        Refused("chill need was not met", [good, new(new(2026, 12, 1), first)]);
        // All of a winter at 4 °C, which chills and does not warm: degree hours begin at 4.7 °C.
        Refused("There was no warmth", [good, new(new(2027, 4, 1), [.. first.Select(hour => hour with { TempC = 4 })])]);
        Refused(
            "end before its computed day",
            [good, new(bloom.AddDays(-9), [.. first.Where(hour => hour.Start < bloom.AddDays(-7).ToDateTime(TimeOnly.MinValue))])]);
        Assert.False(Fit([good, good], out _, out var reason, chillNeed: 0));
        Assert.Contains("chill need", reason, StringComparison.Ordinal);
        Assert.False(Fit([good, good], out _, out reason, latitude: null));
        Assert.Contains("Without a latitude", reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(4, 25)]
    [InlineData(6, -15)]
    [InlineData(9, 12)]
    public void A_season_that_does_not_agree_with_four_or_more_is_set_aside_and_named(int count, int daysOff)
    {
        var years = Springs(count);
        var sound = Fitted([.. years.Skip(1)]);
        var fit = Fitted([years[0] with { SeenOn = years[0].SeenOn.AddDays(daysOff) }, .. years.Skip(1)]);

        var aside = Assert.Single(fit.SetAside);
        Assert.Equal(years[0].SeenOn.AddDays(daysOff), aside.SeenOn);
        Assert.Equal(daysOff, aside.DaysOff!.Value, 1.5);
        Assert.Contains(
            $"{Math.Abs(aside.DaysOff.Value)} days {(daysOff < 0 ? "before" : "after")} the day that",
            aside.Why,
            StringComparison.Ordinal);
        // What is left is the fit of the others, to the last figure.
        Assert.Equal((sound.HeatNeed, count - 1, sound.RmseDays), (fit.HeatNeed, fit.Years, fit.RmseDays));
        Assert.Empty(sound.SetAside);
    }

    [Fact]
    public void Of_three_seasons_none_is_set_aside_as_nobody_knows_which_is_wrong()
    {
        var years = Springs(3);
        var fit = Fitted([years[0] with { SeenOn = years[0].SeenOn.AddDays(25) }, .. years.Skip(1)]);
        Assert.Equal((3, 0), (fit.Years, fit.SetAside.Count));
        Assert.True(fit.LeaveOneOutRmseDays > 10);
    }

    [Fact]
    public void Seasons_less_than_a_week_off_and_seasons_that_all_scatter_are_kept()
    {
        var years = Springs(5);
        Assert.Empty(Fitted([years[0] with { SeenOn = years[0].SeenOn.AddDays(5) }, .. years.Skip(1)]).SetAside);
        int[] scatter = [-12, 9, -4, 14, 2];
        Assert.Empty(Fitted([.. years.Select((year, i) => year with { SeenOn = year.SeenOn.AddDays(scatter[i]) })]).SetAside);
    }

    [Fact]
    public void It_is_no_better_than_the_present_need_where_the_notes_scatter_more_than_that_is_off()
    {
        // The notes follow the need of the stage, a day more or less, or are three weeks off now and then.
        var years = Springs(7);
        var good = Fitted(years);
        Assert.True(good.IsBetter && good.LeaveOneOutRmseDays < good.PresentRmseDays, $"{good}");

        int[] late = [0, 24, 0, 0, 24, 0, 0];
        var bent = Fitted([.. years.Select((year, i) => year with { SeenOn = year.SeenOn.AddDays(late[i]) })]);
        Assert.False(bent.IsBetter, $"{bent}");
    }

    [Fact]
    public void A_season_without_its_hours_is_named_and_the_fit_rests_on_the_others()
    {
        var years = Springs(3);
        var fit = Fitted([years[0] with { Hours = [] }, .. years.Skip(1)]);
        var aside = Assert.Single(fit.SetAside);
        Assert.Equal((2, years[0].SeenOn, (int?)null), (fit.Years, aside.SeenOn, aside.DaysOff));
        Assert.Contains("too few are known", aside.Why, StringComparison.Ordinal);
    }

    /// <summary>Seasons, each a little warmer or colder, with bloom on the day that one need gives, give or take a day.</summary>
    private static List<FitSeason> Springs(int count) =>
    [
        .. Enumerable.Range(0, count).Select(i =>
        {
            var hours = Winter.Hours(Winter.Utc(2020 + i, 10, 1), 250, _ => (i % 4) - 1.5).ToList();
            return new FitSeason(new Told(hours).Of(60).On.AddDays(((i + 1) % 3) - 1), hours);
        }),
    ];

    private static HeatNeedFit Fitted(IReadOnlyList<FitSeason> years)
    {
        Assert.True(Fit(years, out var fit, out var reason), reason);
        return fit!;
    }

    private static List<HourTemperature> Season(int year) => [.. Winter.Hours(Winter.Utc(year, 10, 1), 250)];

    private static void Refused(string expected, IReadOnlyList<FitSeason> years)
    {
        Assert.False(Fit(years, out _, out var reason));
        Assert.Contains(expected, reason, StringComparison.Ordinal);
    }

    private static bool Fit(
        IReadOnlyList<FitSeason> years,
        out HeatNeedFit? fit,
        out string? reason,
        double chillNeed = 62.5,
        double? latitude = Winter.Latitude
    ) =>
        HeatNeedFit.TryFit(
            ChillModel.Portions,
            chillNeed,
            HeatFunction.Linear47,
            Present,
            new SeasonCalendar(latitude),
            Winter.Madrid,
            years,
            out fit,
            out reason);
}
