namespace BackyardSentinel.Tests.Garden;

public class BudStageTests
{
    // Source: the BBCH scale of stone fruit (Meier and others 1994) as the reference table lists it.
    [Fact]
    public void The_codes_are_those_of_stone_fruit()
    {
        var path = OutsideData.Carried("bbch_stone_fruit.csv");
        // A meaning may hold a comma; the code is always the first cell.
        var codes = File.ReadLines(path).Where(line => char.IsDigit(line[0]))
            .Select(line => int.Parse(line.Split(',')[0], CultureInfo.InvariantCulture)).ToList();

        Assert.True(codes.Count > 40);
        // The table lists those that the scale prints; its stage 3 runs on continuously from 33 to 39 (from memory).
        Assert.Equal(codes.Concat(Enumerable.Range(34, 5)).Order(), BudStage.All.Select(stage => stage.Code));
    }

    [Fact]
    public void A_code_is_a_stage_exactly_when_it_is_listed()
    {
        for (var code = -5; code <= 105; code++)
        {
            var listed = BudStage.All.Any(stage => stage.Code == code);
            Assert.Equal(listed, BudStage.TryFrom(code, out var stage));
            Assert.Equal(listed ? code : 0, stage.Code);
            if (!listed)
                Assert.Throws<ArgumentOutOfRangeException>("code", () => BudStage.From(code));
        }
    }

    // Source: the scale numbers its principal stages by tens: 0 and 1 are buds and leaves, 5 and 6 flowers.
    [Fact]
    public void Leaf_buds_and_flower_buds_are_told_apart()
    {
        Assert.Equal([0, 1, 3, 9, 10, 11, 19], BudStage.All.Where(stage => stage.IsLeafBud).Select(stage => stage.Code));
        Assert.Equal(
            [51, 53, 54, 55, 56, 57, 59, 60, 61, 62, 63, 64, 65, 67, 69],
            BudStage.All.Where(stage => stage.IsFlowerBud).Select(stage => stage.Code));
    }

    [Fact]
    public void Every_stage_says_what_is_to_be_seen()
    {
        Assert.Equal(BudStage.All.Count, BudStage.All.Select(stage => stage.Meaning).Distinct().Count());
        Assert.Equal("03", BudStage.From(3).ToString());
        Assert.Equal(BudStage.Dormant, default);
    }
}
