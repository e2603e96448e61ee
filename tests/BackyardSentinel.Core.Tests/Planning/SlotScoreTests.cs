using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

// How slots are weighed against each other is assumed; the ranges whose middle is best have sources: Delta-T 2 to 8 °C,
// Australian advice; wind 3 to 8 mph, a United States pesticide stewardship text.
public class SlotScoreTests
{
    private const double Mph = 0.44704;

    private static readonly LabelLimit QuickDrying = new() { DryAfterH = 1, DryBeforeH = 1 };

    [Fact]
    public void A_slot_is_worth_its_best_four_hours_and_twenty_times_that_before_the_early_date()
    {
        var hour = Quality(windMiddle: 5.5 * Mph, windHalf: 2.5 * Mph, dryH: 48);

        Assert.Equal(4 * hour, OnlySlot(Bare() with { BudSwell = null }, Copper).Score, 9);
        Assert.Equal(80 * hour, OnlySlot(Bare(), Copper).Score, 9);
        // An early date that has come: no hour is timely any more.
        Assert.Equal(4 * hour, OnlySlot(Bare() with { BudSwell = Swell with { Early = Today } }, Copper).Score, 9);
    }

    [Fact]
    public void Where_a_label_limits_the_wind_the_middle_of_its_range_is_best()
    {
        var product = Copper with { Label = new() { MinWindMs = 1, MaxWindMs = 5 } };

        Assert.Equal(80 * Quality(windMiddle: 3, windHalf: 2, dryH: 48), OnlySlot(Bare(), product).Score, 9);
    }

    [Fact]
    public void An_hour_counts_the_more_the_longer_it_stays_dry_after_it()
    {
        // Rain from the twelfth hour on: the first four hours stay dry for 11, 10, 9 and 8 h.
        var slot = OnlySlot(
            Bare() with { BudSwell = null },
            Copper with { Label = QuickDrying },
            Fair((i, hour) => i < 12 ? hour : hour with { RainMm = 1 }));

        Assert.Equal((Now, Now.AddHours(11)), (slot.Start, slot.End));
        Assert.Equal(new[] { 11, 10, 9, 8 }.Sum(dryH => Quality(5.5 * Mph, 2.5 * Mph, dryH)), slot.Score, 9);
        Assert.Contains("dry for 1 h after", slot.Reasons);
    }

    [Fact]
    public void An_hour_that_something_speaks_against_counts_half_and_a_wind_beyond_the_range_nothing()
    {
        var slot = OnlySlot(Bare() with { BudSwell = null }, Copper, Fair((_, hour) => hour with { WindMs = 4.2 }));

        Assert.Equal(4 * (1 + Drying + 0 + 1) / 2, slot.Score, 9);
    }

    [Fact]
    public void Two_days_of_dry_weather_are_said_to_be_at_least_so_many() =>
        Assert.Contains("dry for at least 48 h after", OnlySlot(Bare(), Copper, Fair(hours: 300)).Reasons);

    [Fact]
    public void A_slot_tells_the_range_of_its_drying_and_its_wind()
    {
        var forecast = Fair((i, hour) => hour with { WindMs = i % 2 == 0 ? 1.5 : 3.5, HumidityPct = i % 3 == 0 ? 50 : 70 });
        var reasons = OnlySlot(Bare(), Copper, forecast).Reasons;

        Assert.StartsWith("drying (Delta-T) 2.8 to 4.8 °C, 5 °C is best", reasons[0], StringComparison.Ordinal);
        Assert.StartsWith("wind 1.5 to 3.5 m/s", reasons[1], StringComparison.Ordinal);
    }

    [Fact]
    public void Hours_before_now_and_beyond_the_ten_days_are_in_no_slot()
    {
        var plan = SprayPlanner.Plan(Request(Bare(), Copper) with { AsOf = Now.AddHours(2), Forecast = Fair(hours: 300) });

        var slot = Assert.Single(plan.Slots);
        Assert.Equal((Now.AddHours(2), Now.AddHours(2).AddDays(10)), (slot.Start, slot.End));
    }

    private static double DeltaTC => Request(Bare(), Copper).WeatherFor(Copper, Fair().Hours).DeltaTC(Now)!.Value;

    private static double Drying => 1 - (Math.Abs(DeltaTC - 5) / 3);

    /// <summary>The worth of a fair hour: 1, and up to 1 each for drying, for the wind and for two dry days after it.</summary>
    private static double Quality(double windMiddle, double windHalf, double dryH) =>
        1 + Drying + (1 - (Math.Abs(2.4 - windMiddle) / windHalf)) + (dryH / 48);

    private static SpraySlot OnlySlot(PlanPlanting planting, SprayProduct product, Forecast? forecast = null) =>
        Assert.Single(SprayPlanner.Plan(Request(planting, product) with { Forecast = forecast ?? Fair() }).Slots);
}
