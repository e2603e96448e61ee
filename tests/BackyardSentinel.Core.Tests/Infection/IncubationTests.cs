namespace BackyardSentinel.Tests.Infection;

public class IncubationTests
{
    private static readonly DateOnly Day0 = new(2027, 4, 1);

    // Giosuè, Spada, Rossi, Carli and Ponti 2000, Eur. J. Plant Pathol. 106:563–571 (abstract): symptoms 20 to 27 days
    // after infection, extremes 9 and 33.
    [Theory]
    [InlineData(9, 20, 27, 33)]
    public void Curl_is_likely_from_day_20_to_27_and_possible_from_9_to_33(int first, int from, int to, int last)
    {
        var incubation = new Incubation(Some.At(0), Day0);

        Assert.Equal(
            (first, from, to, last),
            (DaysTo(incubation.Possible), DaysTo(incubation.LikelyFrom), DaysTo(incubation.LikelyTo), DaysTo(incubation.Last)));
    }

    // Rossi, Bolognesi and Giosuè 2007, Phytopathology 97:1625–1633 (abstract): 240 to 290 degree-days above 0 °C, on
    // fruit. At a steady 12 °C that is 20 to 24.2 days: inside the days that were seen on shoots.
    [Theory]
    [InlineData(12, 20, 25)]
    [InlineData(10, 24, 29)]
    [InlineData(16, 15, 19)]
    public void Degree_days_reach_240_and_290_on_the_day_that_brings_them(double meanC, int from, int to)
    {
        var incubation = After(33, _ => meanC);

        Assert.Equal((from, to), (DaysTo(incubation.DegreeDaysFromOn!.Value), DaysTo(incubation.DegreeDaysToOn!.Value)));
        Assert.Equal(33 * meanC, incubation.DegreeDays, 9);
    }

    [Fact]
    public void Frost_takes_no_degree_days_away_and_the_day_of_the_window_counts_none()
    {
        Assert.Equal(33 * 5.0 / 3, After(33, day => day % 3 == 0 ? 5 : -4).DegreeDays, 9);

        var incubation = new Incubation(Some.At(0), Day0);
        incubation.DayOver(Day(0, 15));
        Assert.Equal(0, incubation.DegreeDays);
    }

    // Rossi, Bolognesi, Languasco and Giosuè 2006, Phytopathology 96:155–163 (abstract): no disease at 19 °C and above.
    [Theory]
    [InlineData(18.9, false)]
    [InlineData(19.0, true)]
    [InlineData(24.0, true)]
    public void A_day_of_19_degrees_says_that_the_disease_may_not_develop(double warmestC, bool mayNotDevelop) =>
        Assert.Equal(mayNotDevelop, After(33, day => day == 12 ? warmestC : 11).MayNotDevelop);

    [Fact]
    public void Warmth_before_the_window_and_after_the_last_day_says_nothing()
    {
        var incubation = After(33, _ => 11);
        incubation.DayOver(Day(34, 25));
        incubation.DayOver(Day(0, 25));

        Assert.False(incubation.MayNotDevelop);
    }

    [Fact]
    public void A_day_without_temperature_adds_nothing()
    {
        var incubation = After(10, _ => 10);
        incubation.DayOver(new DayWeather(Day0.AddDays(11), null, null, null, 0, 0));

        Assert.Equal(100, incubation.DegreeDays, 9);
    }

    // A week from the first leaves (BBCH 11) to what can be seen on them is assumed.
    [Theory]
    [InlineData(2, 0)] // Leaves on day 2: curl may show on day 9 as ever.
    [InlineData(3, 1)]
    [InlineData(30, 28)]
    public void Where_leaves_are_late_the_days_move_on_with_them(int leavesOnDay, int moved)
    {
        var incubation = new Incubation(Some.At(0), Day0);
        incubation.LeavesUnfold(null, Day0.AddDays(leavesOnDay - 1));
        Assert.True(incubation.AwaitsLeaves);
        Assert.Equal(9 + moved, DaysTo(incubation.Possible));
        Assert.False(incubation.IsDueOn(Day0.AddDays(27)));

        incubation.LeavesUnfold(Day0.AddDays(leavesOnDay), Day0.AddDays(leavesOnDay));
        Assert.False(incubation.AwaitsLeaves);
        Assert.Equal(
            (9 + moved, 20 + moved, 27 + moved, 33 + moved),
            (DaysTo(incubation.Possible), DaysTo(incubation.LikelyFrom), DaysTo(incubation.LikelyTo), DaysTo(incubation.Last)));
    }

    [Theory]
    [InlineData(8, 20)] // Too early to see anything.
    [InlineData(9, 27)]
    [InlineData(20, 27)]
    [InlineData(21, null)] // Past the first day of likely curl one look serves for both.
    public void A_look_serves_the_one_it_suits(int lookedOn, int? next)
    {
        var incubation = new Incubation(Some.At(0), Day0);
        incubation.LookedOn(Day0.AddDays(lookedOn));

        int[] due = [.. Enumerable.Range(0, 34).Where(day => incubation.IsDueOn(Day0.AddDays(day)))];
        Assert.Equal(next, due.Length == 0 ? null : due[0]);
        incubation.LookedOn(Day0.AddDays(27));
        Assert.False(incubation.IsDueOn(Day0.AddDays(33)));
    }

    private static int DaysTo(DateOnly day) => day.DayNumber - Day0.DayNumber;

    private static Incubation After(int days, Func<int, double> meanC)
    {
        var incubation = new Incubation(Some.At(0), Day0);
        for (var day = 1; day <= days; day++)
            incubation.DayOver(Day(day, meanC(day)));
        return incubation;
    }

    private static DayWeather Day(int day, double meanC) => new(Day0.AddDays(day), meanC, meanC - 5, meanC + 5, 0, 1);
}
