namespace BackyardSentinel.Tests.Garden;

public class StageNeedsTests
{
    // Source: Miranda, Santesteban and Royo 2013, as the R package fruclimadapt carries it: 62.5 portions; 786, 1385, 2557,
    // 4016 (start of bloom), 5518 (end of bloom) degree hours above 4.7 °C.
    [Fact]
    public void The_default_is_the_published_nectarine()
    {
        var needs = StageNeeds.Default;

        Assert.True(needs.IsDefault);
        Assert.Equal((ChillModel.Portions, 62.5, HeatFunction.Linear47), (needs.Chill, needs.ChillNeed, needs.Heat));
        Assert.Subset(needs.Stages.Select(need => need.DegreeHours).ToHashSet(), new HashSet<double> { 786, 1385, 2557, 4016, 5518 });
        Assert.Equal(4016, needs.Stages.Single(need => need.FlowerBud?.Code == 60).DegreeHours);
        Assert.Equal(5518, needs.Stages.Single(need => need.FlowerBud?.Code == 69).DegreeHours);
    }

    [Theory]
    [InlineData(0, 0.1, "1//100", "chill need")]
    [InlineData(double.NaN, 0.1, "1//100", "chill need")]
    [InlineData(60, 0.6, "1//100", "spread")]
    [InlineData(60, -0.1, "1//100", "spread")]
    [InlineData(60, 0.1, "", "no stage")]
    [InlineData(60, 0.1, "3//100", "01")]
    [InlineData(60, 0.1, "1//0", "more than the 0")]
    [InlineData(60, 0.1, "1//100 3//100", "more than the 100")]
    [InlineData(60, 0.1, "1//100 3//90", "more than the 100")]
    [InlineData(60, 0.1, "1//100 //200", "names no stage")]
    [InlineData(60, 0.1, "1//100 9//200 3//300", "Stage 03 is out of order")]
    [InlineData(60, 0.1, "1//100 /1/200", "Stage 01 is out of order")]
    [InlineData(60, 0.1, "1/60/100 3/53/200", "Stage 53 is out of order")]
    [InlineData(60, 0.1, "0//50 1//100", "Stage 00 is out of order")]
    [InlineData(60, 0.1, "1//100 31//200", "Stage 31 is out of order")]
    public void Needs_that_cannot_be_are_refused_with_a_reason(double chillNeed, double spread, string stages, string expected)
    {
        Assert.False(
            StageNeeds.TryCreate(ChillModel.Portions, chillNeed, HeatFunction.Linear47, Parse(stages), spread, out _, out var reason));
        Assert.Contains(expected, reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Needs_that_rise_are_taken()
    {
        Assert.True(StageNeeds.TryCreate(
            ChillModel.Hours, 800, HeatFunction.Asymcur, Parse("/51/50 1//100 9/57/200 /69/300"), 0, out var needs, out _));
        Assert.False(needs.IsDefault);
        Assert.Equal(4, needs.Stages.Count);
    }

    [Fact]
    public void A_known_need_of_one_stage_stretches_the_others()
    {
        Assert.True(StageNeeds.Default.TryStretch(50, BudStage.From(60), 2008, out var needs, out _));
        Assert.Equal(50, needs.ChillNeed);
        Assert.Equal([393, 692.5, 1278.5, 2008, 2383.5, 2759], needs.Stages.Select(need => need.DegreeHours));

        Assert.False(StageNeeds.Default.TryStretch(50, BudStage.From(64), 2008, out _, out var reason));
        Assert.Contains("no stage 64", reason, StringComparison.Ordinal);
        Assert.False(StageNeeds.Default.TryStretch(50, BudStage.From(60), -1, out _, out reason));
        Assert.Contains("must be more than", reason, StringComparison.Ordinal);
    }

    private static StageNeed[] Parse(string stages) =>
    [
        .. stages.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(text => text.Split('/')).Select(cells => new StageNeed(
            cells[0].Length > 0 ? BudStage.From(int.Parse(cells[0], System.Globalization.CultureInfo.InvariantCulture)) : null,
            cells[1].Length > 0 ? BudStage.From(int.Parse(cells[1], System.Globalization.CultureInfo.InvariantCulture)) : null,
            double.Parse(cells[2], System.Globalization.CultureInfo.InvariantCulture))),
    ];
}
