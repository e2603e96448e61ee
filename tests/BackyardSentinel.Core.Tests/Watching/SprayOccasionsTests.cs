using BackyardSentinel.Alerting;
using BackyardSentinel.Spraying;
using BackyardSentinel.Tests.Planning;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Tests.Watching;

/// <summary>What of a plan is worth a message.</summary>
public sealed class SprayOccasionsTests
{
    private static readonly DateTimeOffset Now = new(2027, 1, 15, 8, 0, 0, TimeSpan.Zero);

    private static readonly Site Place = new()
    {
        Id = "south-wall",
        LatitudeDeg = 46,
        Products = [SprayGarden.Copper, SprayGarden.Oil],
        Plantings = [new Planting(SprayGarden.Peach)],
    };

    [Theory]
    [InlineData(15, null)]
    [InlineData(14, 1)]
    [InlineData(7, 2)]
    [InlineData(3, 3)]
    [InlineData(1, 3)]
    [InlineData(0, null)]
    public void A_deadline_is_told_14_7_and_3_days_before_the_early_date(int daysLeft, int? rung)
    {
        var told = SprayOccasions
            .Of(PlanWith(daysLeft, DueTask.LateWinter), Place)
            .OfType<SprayDeadlineNear>()
            .ToList();
        Assert.Equal(rung is null ? [] : [(rung.Value, daysLeft)], told.Select(one => (one.Rung, one.DaysLeft)));
    }

    [Theory]
    [InlineData(1, false)]
    [InlineData(0, true)]
    [InlineData(-5, true)]
    [InlineData(-40, true)]
    public void Once_the_early_date_has_come_the_last_chance_is_told(int daysLeft, bool told) =>
        Assert.Equal(
            told ? 1 : 0,
            SprayOccasions
                .Of(PlanWith(daysLeft, DueTask.LateWinter), Place)
                .OfType<SprayLastChance>()
                .Count(one => one.UsefulUntil > Now));

    [Fact]
    public void The_spray_at_leaf_fall_is_told_from_the_day_on_which_enough_leaves_are_down()
    {
        DateOnly by = new(2027, 1, 25), today = new(2027, 1, 15);
        List<Occasion> Told(DateOnly from) =>
            [
                .. SprayOccasions.Of(
                    PlanWith(60, null) with
                    {
                        Plantings =
                        [
                            PlanWith(60, null).Plantings[0] with
                            {
                                Due =
                                [
                                    new DueSpray(DueTask.LeafFall, by, $"it had curl last spring") { From = from, FromIsGuessed = true },
                                ],
                            },
                        ],
                    },
                    Place),
            ];

        Assert.Empty(Told(today.AddDays(1)));
        var due = Assert.IsType<LeafFallSprayDue>(Assert.Single(Told(today)));
        Assert.Equal((2027, by, 10, today, true, 0), (due.Season, due.By, due.DaysLeft, due.LeavesDownOn, due.Guessed, due.Rung));
    }

    [Theory]
    [InlineData(1, false)]
    [InlineData(0, true)]
    [InlineData(-3, true)]
    public void A_shelter_is_told_from_the_day_on_which_it_should_be_up(int daysToThen, bool told)
    {
        DateOnly by = new(2027, 2, 4);
        var plan = PlanWith(20, null);
        var due = new DueSpray(DueTask.Shelter, by, $"invented") { From = new DateOnly(2027, 1, 15).AddDays(daysToThen) };
        var shelters = SprayOccasions
            .Of(plan with { Plantings = [plan.Plantings[0] with { Due = [due] }] }, Place)
            .OfType<ShelterDue>()
            .ToList();

        Assert.Equal(told ? [(2027, by, 20)] : [], shelters.Select(one => (one.Season, one.By!.Value, one.DaysLeft!.Value)));
    }

    [Fact]
    public void A_spray_that_is_done_has_no_deadline_and_no_slot_is_told()
    {
        Assert.Empty(SprayOccasions.Of(PlanWith(7, DueTask.LookAtCover) with { Slots = [Slot("copper", 20, 9)] }, Place));
        Assert.Empty(SprayOccasions.Of(PlanWith(7, null) with { Slots = [Slot("copper", 20, 9)] }, Place));
    }

    [Fact]
    public void The_best_slot_near_is_told_while_a_spray_is_due_and_never_oil_alone()
    {
        var plan = PlanWith(20, DueTask.LateWinter) with
        {
            Slots = [Slot("copper", 100, 5), Slot("copper", 30, 4), Slot("copper", 50, 3), Slot("oil", 26, 9)],
        };
        var told = Assert.Single(SprayOccasions.Of(plan, Place).OfType<SpraySlotFound>());
        Assert.Equal(("copper", Now.AddHours(30)), (told.Product, told.Start));
        Assert.Equal(
            (Place.Products.First(product => product.Id == "copper").Name, DueTask.LateWinter.Word(), (DateOnly?)new DateOnly(2027, 2, 4)),
            (told.ProductName, told.Serves, told.Deadline));
        // A spray due only in two months: one made now would not count as it.
        Assert.Empty(SprayOccasions.Of(PlanWith(60, DueTask.LateWinter) with { Slots = plan.Slots }, Place));
        // A slot that begins on the early day or after it is not timely.
        Assert.Empty(SprayOccasions.Of(PlanWith(1, DueTask.LateWinter) with { Slots = plan.Slots }, Place).OfType<SpraySlotFound>());
    }

    [Theory]
    [InlineData(71, true)]
    [InlineData(72, false)]
    public void A_slot_is_near_within_three_days(int hours, bool told) =>
        Assert.Equal(
            told,
            SprayOccasions.Of(PlanWith(20, DueTask.LateWinter) with { Slots = [Slot("copper", hours, 5)] }, Place)
                .OfType<SpraySlotFound>()
                .Any());

    [Theory]
    [InlineData(42, true)]
    [InlineData(43, false)]
    public void A_slot_is_told_from_six_weeks_before_the_early_date(int daysLeft, bool told) =>
        Assert.Equal(
            told,
            SprayOccasions.Of(PlanWith(daysLeft, DueTask.LateWinter) with { Slots = [Slot("copper", 30, 5)] }, Place)
                .OfType<SpraySlotFound>()
                .Any());

    [Fact]
    public void On_the_early_date_itself_any_slot_near_is_the_last_moment() =>
        Assert.Single(
            SprayOccasions.Of(PlanWith(0, DueTask.LateWinter) with { Slots = [Slot("copper", 30, 5)] }, Place).OfType<SpraySlotFound>());

    [Theory]
    [InlineData(DueTask.Repeat, 250, 25.0)]
    [InlineData(DueTask.Repeat, 0, null)]
    [InlineData(DueTask.LateWinter, 0, null)]
    public void A_slot_for_a_repeat_says_that_it_is_one_and_what_copper_went_on(DueTask what, double copperG, double? kgPerHa)
    {
        var plan = PlanWith(20, what) with { Slots = [Slot("copper", 30, 5)] };
        plan = plan with { Plantings = [plan.Plantings[0] with { Copper = new CopperBalance(copperG, copperG / 10, 0, 0, null) }] };

        var told = Assert.Single(SprayOccasions.Of(plan, Place).OfType<SpraySlotFound>());
        Assert.Equal((what == DueTask.Repeat, kgPerHa), (told.IsRepeat, told.CopperKgPerHa));
    }

    private static SpraySlot Slot(string product, int hours, double score) =>
        new("white-peach", product, Now.AddHours(hours), Now.AddHours(hours + 3), 1, score, []);

    private static SprayPlan PlanWith(int daysLeft, DueTask? what)
    {
        var early = new DateOnly(2027, 1, 15).AddDays(daysLeft);
        DueSpray[] due = what is not { } task ? [] : [new DueSpray(task, early, $"invented")];
        return new SprayPlan(
            Now,
            Now.AddDays(10),
            null,
            [
                new PlantingPlan(
                    "white-peach",
                    0,
                    new ExpectedSwell(early.AddDays(5), early, early.AddDays(9), $""),
                    Cover.None,
                    due,
                    default),
            ],
            [],
            [],
            []);
    }
}
