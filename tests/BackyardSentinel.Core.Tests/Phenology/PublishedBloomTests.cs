namespace BackyardSentinel.Tests.Phenology;

// Source: the daily record of a station in Navarra, 2000–2003, with chill portions and degree hours above 4.7 °C as the R
// package fruclimadapt 0.4.5 computes them, and the needs of a nectarine that package carries (Miranda, Santesteban and
// Royo 2013). For the season 2000–2001 they give: chilling met on day 22, bud swell 33, bloom from 66 to 76.
public class PublishedBloomTests
{
    private static readonly (int Code, int DayOfYear)[] Season2001 = [(51, 33), (60, 66), (69, 76)];

    [Fact]
    public void The_records_own_sums_give_the_published_days()
    {
        var path = OutsideData.Reference("tudela_daily_chill_heat.csv");
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);
        var track = new StageTrack(StageNeeds.Default, StageBound.Expected);
        var sum = 0.0;

        // The record's sum of portions begins anew on day 305.
        foreach (var row in Winter.Record(path).Where(row => row.Day >= Winter.Day(2000, 305) && row.Day < new DateOnly(2001, 9, 1)))
        {
            track.Add(row.Day, Some.Midnight, row.Portions - sum, row.DegreeHours, null);
            sum = row.Portions;
        }

        Assert.Equal(Winter.Day(2001, 22), track.ChillMetOn);
        foreach (var (code, dayOfYear) in Season2001)
            Assert.Equal(Winter.Day(2001, dayOfYear), track.FlowerBuds.Reached(BudStage.From(code))!.Value.On);
    }

    [Fact]
    public void Our_daily_curve_gives_the_published_days_within_two()
    {
        var path = OutsideData.Reference("tudela_daily_chill_heat.csv");
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);

        var told = new Told(Winter.Curve([.. Winter.Record(path).Select(row => (row.Day, row.Extremes))]));

        foreach (var (code, dayOfYear) in Season2001)
        {
            var reached = told.Stages.Single(stage => stage.Stage.Code == code && stage.On.Year == 2001);
            TestContext.Current.TestOutputHelper!.WriteLine(reached.ToString());
            Assert.InRange(reached.On.DayOfYear, dayOfYear - 2, dayOfYear + 2);
        }
    }

    // Common practice, no source: nectarines of middling chill bloom in the Ebro valley between late February and March.
    [Fact]
    public void Every_spring_of_the_record_blooms_at_a_likely_time()
    {
        var path = OutsideData.Reference("tudela_daily_chill_heat.csv");
        Assert.SkipUnless(path is not null, OutsideData.ReferenceMissing);

        var told = new Told(Winter.Curve([.. Winter.Record(path).Select(row => (row.Day, row.Extremes))]));

        // The record begins on 1 January 2000: the first winter lacks its autumn.
        var blooms = told.Stages.Where(stage => stage.Stage.Code == 60 && stage.On.Year > 2000).ToList();
        Assert.Equal([2001, 2002, 2003], blooms.Select(stage => stage.On.Year));
        foreach (var stage in told.Stages)
            TestContext.Current.TestOutputHelper!.WriteLine(stage.ToString());
        Assert.All(blooms, bloom => Assert.InRange(bloom.On.DayOfYear, 50, 95));
    }

    // Source: two tables of the University of California, Davis, and fruclimadapt, as the reference table lists them.
    [Theory]
    [InlineData(TreeKind.Peach)]
    [InlineData(TreeKind.Nectarine)]
    [InlineData(TreeKind.Almond)]
    [InlineData(TreeKind.Apricot)]
    public void The_range_of_chill_that_is_told_is_that_of_the_published_varieties(TreeKind kind)
    {
        var path = OutsideData.Carried("cultivar_chill_requirements.csv");

        var portions = File.ReadLines(path).Where(line => line.StartsWith(kind.Word() + ",", StringComparison.Ordinal))
            .Select(line => line.Split(','))
            .SelectMany(cells => new[] { cells[2], cells[4] })
            .SelectMany(cell => System.Text.RegularExpressions.Regex.Replace(cell, @"\(.*\)", "").Split('/', '-'))
            .Where(number => number.Trim().Length > 0)
            .Select(number => double.Parse(number, System.Globalization.CultureInfo.InvariantCulture))
            .ToList();

        Assert.True(portions.Count >= 5);
        var told = System.Text.RegularExpressions.Regex.Match(PublishedChill.SourceOf(kind).Text, @"from (\d+) to (\d+)").Groups;
        var (lowest, highest) = (int.Parse(told[1].ValueSpan), int.Parse(told[2].ValueSpan));
        // Peaches and nectarines are told together, and peaches span both.
        if (kind != TreeKind.Nectarine)
            Assert.Equal((lowest, highest), (Math.Round(portions.Min()), Math.Round(portions.Max())));
        Assert.All(portions, one => Assert.InRange(Math.Round(one), lowest, highest));
        Assert.InRange(PublishedChill.UsualOf(kind), lowest, highest);
    }
}
