namespace BackyardSentinel.Tests.Infection;

public class WindowOutlookTests
{
    private static readonly DateTimeOffset Now = Some.At(12);

    // Rossi, Bolognesi, Languasco and Giosuè 2006 (abstract): 3 mm, 12.5 wet hours, below 16 °C.
    [Theory]
    [InlineData(13, 3.0, 10, true)]
    [InlineData(12, 8.0, 10, false)]
    [InlineData(30, 2.9, 10, false)]
    [InlineData(30, 20, 16, false)]
    [InlineData(30, 20, 15.9, true)]
    public void Forecast_rain_opens_a_window_where_measured_rain_would(int wetHours, double rainMm, double tempC, bool opens)
    {
        var outlook = Look(new WetSpellTracker(WetSpellLimits.Usual, false), Wet(wetHours, rainMm, tempC));

        Assert.Equal(opens, outlook is not null);
        if (outlook is { } window)
            Assert.Equal(Now.AddHours(13), window.OpensAt);
    }

    [Fact]
    public void What_was_measured_counts_on_and_is_not_changed_by_looking()
    {
        var spells = new WetSpellTracker(WetSpellLimits.Usual, false);
        for (var i = 0; i < 60; i++)
            spells.Observe(Some.Interval(i + 12, 9, 0.1), new Wetness(WetnessState.Wet, 1), out _);
        var before = spells.Running;

        var outlook = Look(spells, Wet(4, 0.4, 9));

        Assert.Equal(before, spells.Running);
        // 10 h measured and 3 more make 13; 12.5 are asked for.
        Assert.Equal(Now.AddHours(3), outlook!.Value.OpensAt);
    }

    [Fact]
    public void A_forecast_that_is_dry_for_more_than_four_hours_ends_the_spell()
    {
        var hours = Wet(8, 5, 9).Concat(Dry(5, Now.AddHours(8))).Concat(Wet(8, 5, 9, Now.AddHours(13))).ToList();
        var bridged = Wet(8, 5, 9).Concat(Dry(4, Now.AddHours(8))).Concat(Wet(8, 5, 9, Now.AddHours(12))).ToList();

        Assert.Null(Look(new WetSpellTracker(WetSpellLimits.Usual, false), hours));
        Assert.NotNull(Look(new WetSpellTracker(WetSpellLimits.Usual, false), bridged));
    }

    [Fact]
    public void Hours_of_the_past_frost_and_closed_tissue_open_nothing()
    {
        Assert.Null(Look(new WetSpellTracker(WetSpellLimits.Usual, false), Wet(30, 20, 9, Now.AddHours(-40))));
        Assert.Null(Look(new WetSpellTracker(WetSpellLimits.Usual, false), Wet(30, 20, -0.1)));
        Assert.NotNull(Look(new WetSpellTracker(WetSpellLimits.Usual, false), Wet(30, 20, 0)));
        Assert.Null(Look(new WetSpellTracker(WetSpellLimits.Usual, false), Wet(30, 20, 9), factor: 0));
    }

    [Fact]
    public void The_rule_that_drives_the_level_is_the_one_that_looks_ahead()
    {
        // Ten hours from noon on, 12 mm in the first of them: much rain for one day, too short for a wet spell or two days.
        var shower = Wet(10, 12, 10);
        Assert.Equal(Now.AddHours(1), Look(RuleName.RainDay, shower)!.Value.OpensAt);
        Assert.Null(Look(RuleName.WetHours, shower));
        Assert.Null(Look(RuleName.TwoDay, shower));

        // Thirty humid hours with little rain.
        var drizzle = Wet(30, 1, 10);
        Assert.Null(Look(RuleName.RainDay, drizzle));
        Assert.Null(Look(RuleName.WetHours, drizzle));
        var twoDay = Look(RuleName.TwoDay, drizzle)!.Value;
        Assert.Equal((Now.AddHours(24), Level.Likely, 24.0), (twoDay.OpensAt, twoDay.Window.Level, twoDay.Window.WetHours));

        // Rain that would do, on a day that stays cold.
        var cold = new Diary().Dry(12, tempC: 4);
        Assert.Null(Look(RuleName.RainDay, Wet(30, 12, 5), cold));
        Assert.Null(Look(RuleName.TwoDay, Wet(30, 12, 5), cold));
        Assert.NotNull(Look(RuleName.WetHours, Wet(30, 12, 5), cold));
    }

    [Fact]
    public void Rain_that_a_day_has_had_counts_on_and_no_rain_of_another_day()
    {
        Assert.NotNull(Look(RuleName.RainDay, Wet(2, 4, 10), measured: new Diary().Wet(12, rainMm: 7)));
        Assert.Null(Look(RuleName.RainDay, Wet(2, 4, 10, Now.AddHours(12)), measured: new Diary().Wet(12, rainMm: 7)));
    }

    [Fact]
    public void A_window_that_is_open_is_told_again_only_when_it_would_deepen_and_from_then_on()
    {
        // 14 hours measured: possible. Likely from a dose of 0.25 on, at 10 °C after 25.4 wet hours.
        var spell = new Diary().Wet(14, rainMm: 5);
        var site = Some.Garden();
        Assert.Equal(Level.Possible, spell.Live(site).Risk.Level);

        var deeper = LookFrom(spell, site, hours: 12)!.Value;

        Assert.Equal((Some.At(26), Level.Likely), (deeper.OpensAt, deeper.Window.Level));
        Assert.Null(LookFrom(spell, site, hours: 4));
    }

    [Fact]
    public void Under_a_rule_that_needs_a_gauge_nothing_is_foreseen_without_one() =>
        Assert.Null(Look(RuleName.RainDay, Wet(30, 40, 10), measured: new Diary().Rows(12, 10, 60, null), gauge: false));

    [Fact]
    public void A_shelter_that_was_taken_off_has_kept_the_rain_of_its_days_off()
    {
        var site = Some.Garden();
        ShelterEntry[] on =
        [
            new(1, site.Id, "tree", new DateOnly(2027, 1, 20), true), new(2, site.Id, "tree", new DateOnly(2027, 2, 2), false),
        ];
        var watch = Some.Fed(site, new Diary().Wet(25, rainMm: 8).Readings, Some.At(25.1), on);

        // In the open, 13 wet hours of this spell are long over; on the tree it has just begun.
        Assert.Null(watch.LookAhead(watch.Plantings[0], Wet(8, 4, 10, Some.At(25))));
        Assert.NotNull(watch.LookAhead(watch.Plantings[0], Wet(13, 4, 10, Some.At(25))));
    }

    [Fact]
    public void More_rain_and_more_wet_hours_never_lower_the_outlook()
    {
        Gen.Select(Gen.Int[0, 40], Gen.Double[0, 20], Gen.Double[1, 15], Gen.Int[0, 10], Gen.Double[0, 5])
            .Sample(
                (hours, rain, temp, moreHours, moreRain) =>
                {
                    var less = Look(new WetSpellTracker(WetSpellLimits.Usual, false), Wet(hours, rain, temp))?.Window.Level ?? Level.Clear;
                    var more =
                        Look(
                            new WetSpellTracker(WetSpellLimits.Usual, false),
                            Wet(hours + moreHours, rain + moreRain, temp))?.Window.Level ?? Level.Clear;
                    return more >= less || moreHours > 0 && rain + moreRain < 3;
                });
    }

    [Fact]
    public void The_hours_ahead_begin_with_the_one_right_behind_what_is_judged()
    {
        var watch = new Diary().Dry(12).Live(Some.Garden()).Watch;
        var dry = Dry(3, watch.LastInterval!.Value.End.AddHours(-1)).ToList();

        Assert.Equal(dry.Skip(1), watch.LookAhead(dry)!.Hours);
    }

    [Fact]
    public void The_levels_of_the_hours_ahead_rise_as_the_spell_goes_on()
    {
        var watch = new Diary().Dry(12).Live(Some.Garden()).Watch;
        var ahead = watch.LookAhead(Wet(30, 10, 10, watch.LastInterval!.Value.End))!;

        var levels = watch.LevelsAhead(watch.Plantings[0], ahead);

        Assert.Equal(30, levels.Count);
        Assert.Equal(levels.Order(), levels);
        Assert.True(levels[0] < Level.Possible && levels[^1] >= Level.Likely, string.Join(' ', levels));
    }

    private static WindowOutlook? Look(WetSpellTracker spells, IReadOnlyList<ForecastHour> hours, double factor = 1) =>
        WindowOutlook.Of(new WetHoursRule("tree"), spells, Now, hours, 90, factor);

    /// <summary>What a garden driven by a rule foresees at noon.</summary>
    private static WindowOutlook? Look(RuleName rule, IReadOnlyList<ForecastHour> hours, Diary? measured = null, bool gauge = true)
    {
        var site = Some.Garden() with { LevelRule = rule.Word(), HasRainGauge = gauge };
        var watch = (measured ?? new Diary().Dry(12)).Live(site).Watch;
        return watch.LookAhead(watch.Plantings[0], hours);
    }

    private static WindowOutlook? LookFrom(Diary measured, Site site, int hours)
    {
        var watch = measured.Live(site).Watch;
        return watch.LookAhead(watch.Plantings[0], Wet(hours, 0, 10, measured.Now));
    }

    /// <summary>Wet hours, all the rain in the first of them; the rest are wet by their humidity.</summary>
    private static List<ForecastHour> Wet(int hours, double rainMm, double tempC, DateTimeOffset? from = null) =>
        [.. Enumerable.Range(0, hours).Select(i => new ForecastHour((from ?? Now).AddHours(i), tempC, 95, i == 0 ? rainMm : 0))];

    private static IEnumerable<ForecastHour> Dry(int hours, DateTimeOffset from) =>
        Enumerable.Range(0, hours).Select(i => new ForecastHour(from.AddHours(i), 9, 60, 0));
}
