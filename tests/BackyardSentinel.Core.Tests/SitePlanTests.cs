using BackyardSentinel.Tests.Planning;

namespace BackyardSentinel.Tests;

/// <summary>The plan of a site that was watched, hour by invented hour.</summary>
public sealed class SitePlanTests
{
    private static readonly DateTimeOffset Start = new(2026, 11, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset Now = new(2027, 1, 15, 8, 0, 0, TimeSpan.Zero);

    private static readonly Site Place = new()
    {
        Id = "south-wall",
        Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana"),
        LatitudeDeg = 45.7,
        LongitudeDeg = 14.9,
        Climate = DailyClimate.FromMonths(
            [-3, -2, 1.5, 5, 9.5, 13, 15, 14.5, 10.5, 6.5, 2, -1.5],
            [3.5, 6.5, 11.5, 16, 21, 24.5, 27, 26.5, 21.5, 15.5, 8.5, 4]),
        Products = [SprayGarden.Copper, SprayGarden.LimeSulfur, SprayGarden.Oil],
        Plantings =
        [
            new Planting("white-peach") { Name = "Old peach", Follows = StageNeeds.Default, HadCurlLastSpring = true },
            new Planting("gate-nectarine", TreeKind.Nectarine) { Follows = StageNeeds.Default },
        ],
    };

    [Fact]
    public void A_watched_winter_gives_stage_swell_rain_and_cover()
    {
        var journal = new JournalEntry[] { new SprayEntry(1, "south-wall", "white-peach", new DateOnly(2027, 1, 2), "copper", 7) };
        var watch = Watch(journal, rainEachNoon: true);

        var request = SitePlan.Request(watch, journal, null, Now);
        var plan = SitePlan.Of(watch, journal, null, Now);

        var peach = plan.Plantings[0];
        Assert.Equal(0, peach.Stage);
        Assert.True(peach.BudSwell!.Early > new DateOnly(2027, 1, 15));
        Assert.True(peach.BudSwell.Early <= peach.BudSwell.Expected && peach.BudSwell.Expected <= peach.BudSwell.Late);
        Assert.DoesNotContain("guess", peach.BudSwell.Basis.Text, StringComparison.Ordinal);
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
        static double PressureHpa(double altitudeM) =>
            SitePlan.Request(new SiteWatch(Place with { AltitudeM = altitudeM }, _ => { }), [], null, Now).PressureHpa;

        // psychrolib 1.1.1 (MIT), GetStandardAtmPressure(1000 m): 89,874.519 Pa.
        Assert.Equal(898.745, PressureHpa(1000), 3);
        Assert.Equal(1013.25, PressureHpa(0), 9);
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
        var watch = new SiteWatch(Place, _ => { }, journal);
        var plan = SitePlan.Of(watch, journal, null, Now);

        Assert.Equal(0, plan.Plantings[0].Stage);
        Assert.StartsWith("A guess ", plan.Plantings[0].BudSwell!.Basis.Text, StringComparison.Ordinal);
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
                .Request(new SiteWatch(Place, _ => { }), journal, null, Now)
                .Plantings[0]
                .CurlLastSpring;
    }

    [Theory]
    [InlineData(95, 50.0)]
    [InlineData(97, 100.0)]
    [InlineData(93, null)]
    public void Leaf_fall_may_be_noted_as_a_stage(int code, double? fallenPct)
    {
        // BBCH of stone fruit: 93 is the beginning of leaf fall, 95 half and 97 all of the leaves down.
        JournalEntry[] journal = [new StageEntry(1, "south-wall", "white-peach", new DateOnly(2026, 11, 18), code)];
        var fall = SitePlan.Request(new SiteWatch(Place, _ => { }), journal, null, Now).Plantings[0].LeafFall;
        Assert.Equal((fallenPct, fallenPct is null ? null : new DateOnly(2026, 11, 18)), (fall?.FallenPct, fall?.On));
    }

    [Theory]
    [InlineData("2027-01-15", "copper", Cover.Fresh, false)]
    [InlineData("2027-01-14", "copper", Cover.Recheck, true)]
    [InlineData("2027-01-14", "oil", Cover.None, false)]
    public void The_cover_of_a_spray_that_no_weather_was_watched_after_is_one_to_look_at(
        string on,
        string product,
        Cover cover,
        bool isNoted)
    {
        var journal = new JournalEntry[]
        {
            new SprayEntry(1, "south-wall", "white-peach", DateOnly.Parse(on, CultureInfo.InvariantCulture), product, 7),
        };
        var request = SitePlan.Request(new SiteWatch(Place, _ => { }, journal), journal, null, Now);

        Assert.Equal((cover, null), (request.Plantings[0].Cover, request.Plantings[0].CoverRainMm));
        Assert.Equal(isNoted, request.Notes.Select(one => one.Text).Contains("Old peach: the rain since the spray on 14 Jan is not "
            + "known, so its cover counts as one to look at."));
    }

    [Fact]
    public void A_stage_that_was_seen_needs_no_guess()
    {
        var journal = new JournalEntry[] { new StageEntry(1, "south-wall", "white-peach", new DateOnly(2027, 1, 10), 1) };
        var swell = SitePlan.Request(new SiteWatch(Place, _ => { }, journal), journal, null, Now).Plantings[0].BudSwell!;

        Assert.Equal((new DateOnly(2027, 1, 10), new DateOnly(2027, 1, 10)), (swell.Expected, swell.Late));
        Assert.DoesNotContain("guess", swell.Basis.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(12, 0, true)]
    [InlineData(12, 1, false)]
    [InlineData(0, -10, true)]
    [InlineData(0, -11, false)]
    public void The_swell_asks_no_forecast_that_is_too_old_or_not_made_yet(int hours, int minutes, bool isUsed)
    {
        var forecast = SprayGarden.Fair() with
        {
            Issued = Now.AddHours(-hours).AddMinutes(-minutes),
            Hours = [.. Enumerable.Range(0, 48).Select(i => SprayGarden.FairHour(Now.AddHours(i)))],
        };
        var swell = SitePlan.Request(Watch([]), [], forecast, Now).Plantings[0].BudSwell!;

        Assert.Equal(isUsed, swell.Basis.Text.Contains("the forecast", StringComparison.Ordinal));
    }

    [Fact]
    public void Entries_of_later_days_and_of_other_sites_do_not_count()
    {
        JournalEntry[] journal =
        [
            new SprayEntry(1, "south-wall", "white-peach", new DateOnly(2027, 1, 16), "copper", 7),
            new SprayEntry(2, "hill", "white-peach", new DateOnly(2027, 1, 10), "copper", 7),
            new LeafFallEntry(3, "south-wall", "gate-nectarine", new DateOnly(2026, 11, 18), 80),
        ];
        var request = SitePlan.Request(new SiteWatch(Place, _ => { }), journal, null, Now);

        Assert.Empty(request.Ledger.Applications);
        Assert.Null(request.Plantings[0].LeafFall);
        Assert.Equal(80, request.Plantings[1].LeafFall!.FallenPct);
    }

    [Fact]
    public void What_is_not_known_of_the_place_is_said_at_the_end_of_the_plan()
    {
        var nowhere = Place with { LatitudeDeg = null, LongitudeDeg = 140 };
        var plan = SitePlan.Of(new SiteWatch(nowhere, _ => { }), [], null, Now);

        Assert.Contains(plan.Notes, note => note.Text.StartsWith("The site has no latitude", StringComparison.Ordinal));
        Assert.Contains(Daylight.Contradiction(140, nowhere.Zone), plan.Notes);
        Assert.DoesNotContain(SitePlan.Of(new SiteWatch(Place, _ => { }), [], null, Now).Notes,
            note => note.Text.Contains("itude", StringComparison.Ordinal));
    }

    [Fact]
    public void Every_hour_of_any_forecast_is_in_a_slot_or_refused_and_never_in_both()
    {
        var watch = new SiteWatch(Place, _ => { });
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

    /// <summary>
    /// A watch fed hourly 6 °C, with rain at noon of local winter time where there is some. It is 2, 3 and 4 mm in turn: the
    /// same rain day after day would be doubted as a total that stands still.
    /// </summary>
    private static SiteWatch Watch(IReadOnlyList<JournalEntry> journal, bool rainEachNoon = false)
    {
        var watch = new SiteWatch(Place, _ => { }, journal);
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
