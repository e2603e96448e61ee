namespace BackyardSentinel.Tests.Phenology;

public class HeatNeedFitTests
{
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
        Assert.InRange(fit.HeatNeed, 4016, 4016 * 1.05);
        Assert.InRange(fit.RmseDays, 0, 1);
        Assert.InRange(fit.LeaveOneOutRmseDays, fit.RmseDays, 1.5);
    }

    [Fact]
    public void Years_that_disagree_show_it_in_their_errors()
    {
        var (first, second) = (Season(2026), Season(2027));
        var bloom = new Told(first).Of(60).On;
        Assert.True(Fit([new(bloom, first), new(bloom.AddYears(1).AddDays(10), second)], out var fit, out _));

        // Ten days apart: five from the middle, ten from each other.
        Assert.Equal(5, fit!.RmseDays, 1.5);
        Assert.Equal(10, fit.LeaveOneOutRmseDays, 1.5);
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
        Refused(
            "end before its computed day",
            [good, new(bloom.AddDays(-9), [.. first.Where(hour => hour.Start < bloom.AddDays(-7).ToDateTime(TimeOnly.MinValue))])]);
        Assert.False(Fit([good, good], out _, out var reason, chillNeed: 0));
        Assert.Contains("chill need", reason, StringComparison.Ordinal);
        Assert.False(Fit([good, good], out _, out reason, latitude: null));
        Assert.Contains("Without a latitude", reason, StringComparison.Ordinal);
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
            ChillModel.Portions, chillNeed, HeatFunction.Linear47, new SeasonCalendar(latitude), Winter.Madrid, years, out fit, out reason);
}
