using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Hosting;
using BackyardSentinel.Planning;
using BackyardSentinel.Watching;
using BackyardSentinel.Weather;
using CsCheck;
using Xunit;

namespace BackyardSentinel.Tests.Hosting;

/// <summary>The plan of a site that was watched, hour by invented hour, and what of it is told.</summary>
public sealed class GardenPlanTests
{
    private static readonly DateTimeOffset Start = new(2026, 11, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset Now = new(2027, 1, 15, 8, 0, 0, TimeSpan.Zero);
    private static readonly GardenFile Garden = GardenFileReader.Read(Checkout.Path("config", "garden.yaml")).Garden!;
    private static readonly GardenSite Place = Garden.Sites[0];

    [Fact]
    public void A_watched_winter_gives_stage_swell_rain_and_cover()
    {
        var journal = new JournalEntry[] { new SprayEntry(1, "south-wall", "white-peach", new DateOnly(2027, 1, 2), "winter-copper", 7) };
        var watch = Watch(journal, rainEachNoon: true);

        var request = SitePlan.Request(watch, journal, null, Now);
        var plan = SitePlan.Of(watch, journal, null, Now);

        var peach = plan.Plantings[0];
        Assert.Equal(0, peach.Stage);
        Assert.True(peach.BudSwell!.Early > new DateOnly(2027, 1, 15));
        Assert.True(peach.BudSwell.Early <= peach.BudSwell.Expected && peach.BudSwell.Expected <= peach.BudSwell.Late);
        Assert.DoesNotContain("guess", peach.BudSwell.Basis, StringComparison.Ordinal);
        // 2, 3 and 4 mm in turn on each of 60 days.
        Assert.Equal(180, request.RainLast60DaysMm!.Value, 6);
        // 13 noons, from 2 to 14 January, the first and the last with 3 mm, bring 39 mm: above 25 and below 50.
        Assert.Equal(Cover.Recheck, peach.Cover);
        Assert.Equal(39, request.Plantings[0].CoverRainMm!.Value, 6);
        Assert.Equal(2, request.ObservedRain!.Count(rain => rain.Mm > 0));
    }

    [Fact]
    public void The_pressure_of_the_sites_altitude_goes_into_the_drying_of_spray()
    {
        double PressureHpa(GardenSite site) => SitePlan.Request(new SiteWatch(site.ToSite(Garden.Products), _ => { }), [], null, Now).PressureHpa;
        // psychrolib 1.1.1 (MIT), GetStandardAtmPressure(1000 m): 89,874.519 Pa.
        Assert.Equal(898.745, PressureHpa(Place with { AltitudeM = 1000 }), 3);
        Assert.Equal(1013.25, PressureHpa(Place with { AltitudeM = null }), 9);
        var path = OutsideData.Carried("pressure_altitude.csv");
        foreach (var row in OutsideData.Rows(path))
            Assert.Equal(Number(row["P_Pa_psychrolib"]) / 100, PressureHpa(Place with { AltitudeM = Number(row["z_m"]) }), 0.01);

        static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
    }

    [Fact]
    public void Without_a_rain_report_nothing_is_known_of_rain()
    {
        var request = SitePlan.Request(Watch([]), [], null, Now);
        Assert.Null(request.ObservedRain);
    }

    [Fact]
    public void Without_any_reading_the_journals_stage_holds_and_the_swell_is_called_a_guess()
    {
        var journal = new JournalEntry[] { new StageEntry(1, "south-wall", "white-peach", new DateOnly(2027, 1, 10), 0) };
        var watch = new SiteWatch(Place.ToSite(Garden.Products), _ => { }, journal);
        var plan = SitePlan.Of(watch, journal, null, Now);

        Assert.Equal(0, plan.Plantings[0].Stage);
        Assert.StartsWith("A guess ", plan.Plantings[0].BudSwell!.Basis, StringComparison.Ordinal);
        Assert.Null(plan.Plantings[1].Stage);
        // Buds seen shut are believed for seven days only.
        Assert.Null(SitePlan.Of(watch, journal, null, Now.AddDays(3)).Plantings[0].Stage);
    }

    [Fact]
    public void Curl_in_last_springs_scouting_beats_the_garden_file()
    {
        JournalEntry[] clean = [new ScoutEntry(1, "south-wall", "white-peach", new DateOnly(2026, 4, 20), 20, 0)];
        JournalEntry[] curled = [.. clean, new ScoutEntry(2, "south-wall", "white-peach", new DateOnly(2026, 5, 4), 20, 3)];
        JournalEntry[] older = [new ScoutEntry(1, "south-wall", "white-peach", new DateOnly(2025, 4, 20), 20, 0)];
        Assert.False(CurlWith(clean));
        Assert.True(CurlWith(curled));
        Assert.True(CurlWith(older)); // Says nothing of last spring; the garden file says it had curl.

        static bool? CurlWith(JournalEntry[] journal) =>
            SitePlan
                .Request(new SiteWatch(Place.ToSite(Garden.Products), _ => { }), journal, null, Now)
                .Plantings[0]
                .CurlLastSpring;
    }

    [Fact]
    public void Leaf_fall_may_be_noted_as_a_stage()
    {
        // BBCH of stone fruit: 95 is half of the leaves down.
        JournalEntry[] journal = [new StageEntry(1, "south-wall", "white-peach", new DateOnly(2026, 11, 18), 95)];
        var fall = SitePlan
            .Request(new SiteWatch(Place.ToSite(Garden.Products), _ => { }), journal, null, Now)
            .Plantings[0]
            .LeafFall!;
        Assert.Equal((new DateOnly(2026, 11, 18), 50.0), (fall.On, fall.FallenPct));
    }

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
            .Of(PlanWith(daysLeft, DueSpray.LateWinter), Place.ToSite(Garden.Products))
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
                .Of(PlanWith(daysLeft, DueSpray.LateWinter), Place.ToSite(Garden.Products))
                .OfType<SprayLastChance>()
                .Count(one => one.UsefulUntil > Now));

    [Fact]
    public void The_spray_at_leaf_fall_is_told_from_the_day_on_which_enough_leaves_are_down()
    {
        var site = Place.ToSite(Garden.Products);
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
                                    new DueSpray(DueSpray.LeafFall, by, "it had curl last spring") { From = from, FromIsGuessed = true },
                                ],
                            },
                        ],
                    },
                    site),
            ];

        Assert.Empty(Told(today.AddDays(1)));
        var due = Assert.IsType<LeafFallSprayDue>(Assert.Single(Told(today)));
        Assert.Equal((2027, by, 10, today, true, 0), (due.Season, due.By, due.DaysLeft, due.LeavesDownOn, due.Guessed, due.Rung));
    }

    [Fact]
    public void A_spray_that_is_done_has_no_deadline_and_no_slot_is_told()
    {
        var site = Place.ToSite(Garden.Products);
        Assert.Empty(SprayOccasions.Of(PlanWith(7, DueSpray.LookAtCover) with { Slots = [Slot("winter-copper", 20, 9)] }, site));
        Assert.Empty(SprayOccasions.Of(PlanWith(7, null) with { Slots = [Slot("winter-copper", 20, 9)] }, site));
    }

    [Fact]
    public void The_best_slot_near_is_told_while_a_spray_is_due_and_never_oil_alone()
    {
        var site = Place.ToSite(Garden.Products);
        var plan = PlanWith(20, DueSpray.LateWinter) with
        {
            Slots = [Slot("winter-copper", 100, 5), Slot("winter-copper", 30, 4), Slot("winter-copper", 50, 3), Slot("winter-oil", 26, 9)],
        };
        var told = Assert.Single(SprayOccasions.Of(plan, site).OfType<SpraySlotFound>());
        Assert.Equal(("winter-copper", Now.AddHours(30)), (told.Product, told.Start));
        Assert.Equal(
            (site.Products.First(product => product.Id == "winter-copper").Name, DueSpray.LateWinter, (DateOnly?)new DateOnly(2027, 2, 4)),
            (told.ProductName, told.Serves, told.Deadline));
        // A spray due only in two months: one made now would not count as it.
        Assert.Empty(SprayOccasions.Of(PlanWith(60, DueSpray.LateWinter) with { Slots = plan.Slots }, site));
        // A slot that begins on the early day or after it is not timely.
        Assert.Empty(SprayOccasions.Of(PlanWith(1, DueSpray.LateWinter) with { Slots = plan.Slots }, site).OfType<SpraySlotFound>());
    }

    [Fact]
    public void Every_hour_of_any_forecast_is_in_a_slot_or_refused_and_never_in_both()
    {
        var watch = new SiteWatch(Place.ToSite(Garden.Products), _ => { });
        // Of every 40 hours one lacks its temperature, one its humidity, one its wind, and three bring rain.
        var hour = Gen.Select(Gen.Double[-6, 16], Gen.Double[20, 100], Gen.Double[0, 6], Gen.Int[0, 39]);
        Gen.Select(hour.Array[60, 250], Gen.Double[0, 9])
            .Sample(
                (hours, warmer) =>
                {
                    var forecast = new Forecast(
                        "invented",
                        Now,
                        [
                            .. hours.Select(
                                (one, i) =>
                                    new ForecastHour(
                                        Now.AddHours(i - 2),
                                        one.Item4 == 0 ? null : one.Item1 + warmer,
                                        one.Item4 == 1 ? null : one.Item2,
                                        one.Item4 > 36 ? 1.5 : 0,
                                        null,
                                        one.Item4 == 2 ? null : one.Item3)),
                        ]);
                    var request = SitePlan.Request(watch, [], forecast, Now);
                    var plan = SprayPlanner.Plan(request);
                    RefusedSpray[] refused = [.. plan.Refused, .. UnfitHours.Of(request, plan)];
                    var until = forecast.Until < plan.Until ? forecast.Until : plan.Until;
                    foreach (
                        var (planting, product) in plan.Plantings.SelectMany(
                            one => request.Products,
                            (one, product) => (one.Planting, product.Id)))
                    {
                        for (var at = Now; at.AddHours(1) <= until; at = at.AddHours(1))
                        {
                            var inSlot = plan.Slots.Count(slot =>
                                slot.Planting == planting && slot.Product == product && slot.Start <= at && at < slot.End);
                            var isRefused = refused.Any(span =>
                                span.Planting == planting && span.Product == product && span.From <= at && at < span.To);
                            Assert.Equal(isRefused ? 0 : 1, inSlot);
                        }
                    }
                },
                iter: 40);
    }

    private static SpraySlot Slot(string product, int hours, double score) =>
        new("white-peach", product, Now.AddHours(hours), Now.AddHours(hours + 3), 1, score, []);

    private static SprayPlan PlanWith(int daysLeft, string? what)
    {
        var early = new DateOnly(2027, 1, 15).AddDays(daysLeft);
        DueSpray[] due = what is null ? [] : [new DueSpray(what, early, "invented")];
        return new SprayPlan(
            Now,
            Now.AddDays(10),
            null,
            [
                new PlantingPlan(
                    "white-peach",
                    0,
                    new ExpectedSwell(early.AddDays(5), early, early.AddDays(9), ""),
                    Cover.None,
                    due,
                    default),
            ],
            [],
            [],
            []);
    }

    /// <summary>
    /// A watch fed hourly 6 °C, with rain at noon of local winter time where there is some. It is 2, 3 and 4 mm in turn: the
    /// same rain day after day would be doubted as a total that stands still.
    /// </summary>
    private static SiteWatch Watch(IReadOnlyList<JournalEntry> journal, bool rainEachNoon = false)
    {
        var watch = new SiteWatch(Place.ToSite(Garden.Products), _ => { }, journal);
        for (var at = Start; at <= Now; at = at.AddHours(1))
        {
            watch.Accept(new Reading(Quantity.Temperature, at, 6, default, 0), at);
            watch.Accept(new Reading(Quantity.Humidity, at, 70, default, 0), at);
            if (rainEachNoon && at.Hour == 11)
                watch.Accept(
                    new Reading(Quantity.Rain, at.AddMinutes(25), 2 + ((LocalDay.Of(at, TimeZoneInfo.Utc).DayNumber + 2) % 3), default, 0),
                    at.AddMinutes(25));
        }

        watch.AdvanceTo(Now.AddMinutes(5));
        return watch;
    }
}
