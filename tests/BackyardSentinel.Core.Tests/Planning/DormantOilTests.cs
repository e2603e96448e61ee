using BackyardSentinel.Spraying;

namespace BackyardSentinel.Tests.Planning;

public class DormantOilTests
{
    // Common practice, no source: a dormant oil is for bare wood and swelling buds, not for open leaves.
    [Theory]
    [InlineData(0, false)]
    [InlineData(3, false)]
    [InlineData(9, true)]
    [InlineData(33, true)]
    public void The_template_is_refused_once_leaf_tips_show(int stage, bool refused)
    {
        var oil = SprayTemplates.All.Single(one => one.Id == "dormant-oil") with { DosePerL = 20 };
        var plan = SprayPlanner.Plan(new PlanRequest
        {
            AsOf = Some.Midnight,
            Plantings = [new PlanPlanting { Id = "tree", Stage = stage, StageIsSeen = true }],
            Products = [oil],
            Ledger = new SprayLedger([], [oil], new Dictionary<string, double>(), day => day.Year),
        });

        Assert.Equal(refused, plan.Refused.Any(one => one.Product == "dormant-oil"));
    }
}
