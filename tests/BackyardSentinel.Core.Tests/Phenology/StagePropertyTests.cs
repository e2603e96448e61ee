namespace BackyardSentinel.Tests.Phenology;

/// <summary>What must hold whatever the winter was.</summary>
public class StagePropertyTests
{
    private static readonly DateTimeOffset Start = Winter.Utc(2026, 9, 1);

    /// <summary>Weeks colder or warmer than usual.</summary>
    private static readonly Gen<double[]> GenWeeks = Gen.Double[-6, 6].Array[53];

    private static readonly Gen<StageNeeds> GenNeeds = Gen.Select(
            Gen.Enum<ChillModel>(),
            Gen.Double[0.3, 1.2],
            Gen.Enum<HeatFunction>(),
            Gen.Double[0, 0.3])
        .Select(
            (chill, share, heat, spread) =>
            {
                var full = chill == ChillModel.Portions ? 80 : 1500;
                Assert.True(StageNeeds.TryCreate(chill, full * share, heat, StageNeeds.Default.Stages, spread, out var needs, out _));
                return needs;
            });

    [Fact]
    public void Stages_never_run_backwards_in_a_season() =>
        Gen.Select(GenWeeks, GenNeeds).Sample((weeks, needs) =>
        {
            var (leaf, flower) = (0, 0);
            var told = new Told(Hours(weeks), needs: needs, afterHour: model =>
            {
                Assert.True(model.LeafBud!.Value.Code >= leaf && model.FlowerBud!.Value.Code >= flower);
                (leaf, flower) = (model.LeafBud.Value.Code, model.FlowerBud.Value.Code);
            });
            Assert.Equal(told.Stages.OrderBy(stage => stage.At), told.Stages);
        }, iter: 30);

    [Fact]
    public void Early_is_never_after_expected_and_expected_never_after_late() =>
        Gen.Select(GenWeeks, GenNeeds).Sample((weeks, needs) =>
        {
            var model = new Told(Hours(weeks), needs: needs).Model;
            foreach (var stage in BudStage.All)
            {
                var dates = model.DatesOf(stage);
                Assert.True((dates.Early ?? DateOnly.MaxValue) <= (dates.Expected ?? DateOnly.MaxValue));
                Assert.True((dates.Expected ?? DateOnly.MaxValue) <= (dates.Late ?? DateOnly.MaxValue));
            }
        }, iter: 30);

    // "Spring" begins when chilling is met: warmth before that can well delay, by taking chill away.
    [Fact]
    public void A_warmer_spring_never_delays_a_stage() =>
        Gen.Select(GenWeeks, Gen.Double[0, 5].Array[53])
            .Sample(
                (weeks, warmer) =>
                {
                    var usual = new Told(Hours(weeks));
                    if (usual.Model.ChillMetOn is not { } met)
                        return;
                    var from = met.AddDays(1).ToDateTime(TimeOnly.MinValue);
                    var warm = new Told(
                        Hours(weeks).Select(
                            hour => hour.Start < from ? hour : hour with { TempC = hour.TempC + warmer[Week(hour.Start)] }));
                    foreach (var stage in BudStage.All.Where(stage => usual.Model.DatesOf(stage).Expected is not null))
                        Assert.True(warm.Model.DatesOf(stage).Expected <= usual.Model.DatesOf(stage).Expected);
                },
                iter: 30);

    [Fact]
    public void Logged_stages_in_order_are_shown_from_their_day_on() =>
        Gen.Select(GenWeeks, Gen.Int[0, 25], Gen.Int[0, 25], Gen.Int[0, 25])
            .Sample(
                (weeks, a, b, c) =>
                {
                    var swell = new DateOnly(2027, 1, 20).AddDays(a);
                    (DateOnly On, int Code)[] logged =
                    [
                        (swell, 1),
                        (swell.AddDays(b + 1), 9),
                        (swell.AddDays(b + 1), 57),
                        (swell.AddDays(b + c + 2), 65),
                    ];
                    var told = new Told(Hours(weeks), logged);

                    Assert.Empty(told.Model.Doubts);
                    Assert.Equal(
                        logged,
                        told.Stages.Where(stage => stage.Source == StageSource.Logged).Select(stage => (stage.On, stage.Stage.Code)));
                    foreach (var (on, code) in logged)
                        Assert.Equal(new StageDates(on, on, on), told.Model.DatesOf(BudStage.From(code)));
                },
                iter: 30);

    private static int Week(DateTimeOffset at) => (int)((at - Start).TotalDays / 7);

    private static IEnumerable<HourTemperature> Hours(double[] weeks) => Winter.Hours(Start, 330, at => weeks[Week(at)]);
}
