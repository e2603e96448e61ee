namespace BackyardSentinel.Tests.Infection;

public class SusceptibleSeasonTests
{
    private static readonly DateOnly FirstDay = new(2027, 2, 1);

    /// <summary>Days from one stage to the next, and the highest temperature of each day.</summary>
    private static readonly Gen<(int[] Gaps, int[] MaxC)> GenSeason = Gen.Select(Gen.Int[0, 25].Array[4], Gen.Int[8, 28].Array[150]);

    // Giosuè et al. 2000, Eur. J. Plant Pathol. 106:563–571 (abstract): susceptible for at least nine weeks from the
    // first leaf tips.
    [Fact]
    public void Tissue_stays_open_for_nine_weeks_from_green_tip_and_closes_then()
    {
        var season = new Tree();
        season.Reached(9, FirstDay);
        season.Reached(69, FirstDay.AddDays(30));
        for (var day = 0; day < 63; day++)
        {
            Assert.True(season.FactorOn(FirstDay.AddDays(day)) > 0);
            season.DayOver(Day(day, 15));
        }

        Assert.Equal(FirstDay.AddDays(63), season.ClosedOn);
        Assert.Equal(0, season.FactorOn(FirstDay.AddDays(63)));
        Assert.False(season.ClosedByWarmth);
    }

    // Rossi et al. 2006, Phytopathology 96:155–163 (abstract): highest until petal fall. The half is assumed.
    [Fact]
    public void The_factor_of_open_tissue_is_1_to_petal_fall_and_a_half_after_it()
    {
        var season = new Tree();
        season.Reached(69, FirstDay.AddDays(40));

        Assert.Equal([1, 1, 0.5], new[] { 10, 40, 41 }.Select(day => season.FactorOn(FirstDay.AddDays(day))));
    }

    // Seven days above 22 °C: common practice, no source.
    [Theory]
    [InlineData(7, 22.1, true)]
    [InlineData(6, 30, false)]
    [InlineData(40, 22, false)]
    public void A_week_of_warm_days_past_petal_fall_closes_the_season(int days, double maxC, bool closes)
    {
        var season = new Tree();
        season.Reached(69, FirstDay);
        for (var day = 1; day <= days; day++)
            season.DayOver(Day(day, maxC));

        Assert.Equal(closes ? FirstDay.AddDays(8) : null, season.ClosedOn);
        Assert.Equal(closes, season.ClosedByWarmth);
    }

    [Fact]
    public void Warm_days_before_petal_fall_and_a_broken_week_close_nothing()
    {
        var season = new Tree();
        season.Reached(9, FirstDay);
        for (var day = 0; day < 20; day++)
            season.DayOver(Day(day, 26));
        season.Reached(69, FirstDay.AddDays(20));
        for (var day = 21; day < 50; day++)
            season.DayOver(day % 6 == 0 ? new DayWeather(FirstDay.AddDays(day), null, null, null, 0, 0) : Day(day, 26));

        Assert.Null(season.ClosedOn);
    }

    [Fact]
    public void The_factor_never_rises_after_petal_fall_and_stays_0_once_the_season_is_closed() => GenSeason.Sample(drawn =>
    {
        var (season, fall) = (new Tree(), drawn.Gaps.Sum());
        var before = 1.0;
        Walk(drawn, season, day =>
        {
            var factor = season.FactorOn(FirstDay.AddDays(day));
            Assert.Contains(factor, new[] { 0, 0.5, 1 });
            if (day > fall)
            {
                Assert.True(factor <= before && factor <= 0.5);
                before = factor;
            }

            Assert.True(season.ClosedOn is not { } closed || closed > FirstDay.AddDays(day) || factor == 0);
        });
        Assert.NotNull(season.ClosedOn); // 150 days always hold nine weeks after green tip.
    }, iter: 200);

    [Fact]
    public void Warmer_days_never_keep_a_season_open_for_longer() => GenSeason.Sample(drawn =>
    {
        Tree cool = new(), warm = new();
        Walk(drawn, cool, _ => { });
        Walk((drawn.Gaps, [.. drawn.MaxC.Select(max => max + 3)]), warm, _ => { });
        Assert.True(warm.ClosedOn <= cool.ClosedOn);
    }, iter: 200);

    [Fact]
    public void Every_season_is_over_three_weeks_past_the_longest_day_also_where_no_stage_is_sure()
    {
        var season = new SusceptibleSeason();
        var longest = new DateOnly(2027, 6, 21);
        for (var day = FirstDay; day < longest.AddDays(30); day = day.AddDays(1))
            season.DayOver(new DayWeather(day, 12, 8, 18, 0, 1), null, null, longest, null);

        Assert.Equal(new DateOnly(2027, 7, 12), season.ClosedOn);
        Assert.Equal("three weeks past the longest day", season.ClosedBecause);
        Assert.False(season.ClosedByWarmth);
    }

    [Fact]
    public void Nine_weeks_close_nothing_while_days_are_short()
    {
        var season = new SusceptibleSeason();
        for (var day = 0; day < 100; day++)
        {
            var light = day < 90 ? 11.9 : 12;
            season.DayOver(Day(day, 15), FirstDay, FirstDay, null, light);
        }

        Assert.Equal(FirstDay.AddDays(91), season.ClosedOn);
    }

    // The nine weeks: Giosuè et al. 2000, as above. That they wait for the petals is assumed.
    [Fact]
    public void A_late_petal_fall_closes_with_its_own_day_what_was_open_for_nine_weeks()
    {
        var season = new Tree();
        season.Reached(9, FirstDay);
        for (var day = 0; day < 80; day++)
            season.DayOver(Day(day, 15));
        Assert.Null(season.ClosedOn);

        season.Reached(69, FirstDay.AddDays(80));
        season.DayOver(Day(80, 15));
        Assert.Equal(FirstDay.AddDays(81), season.ClosedOn);
    }

    [Fact]
    public void A_new_season_begins_unclosed()
    {
        var season = new Tree();
        season.Reached(69, FirstDay);
        for (var day = 1; day <= 7; day++)
            season.DayOver(Day(day, 25));
        season.Begin();

        Assert.Equal((1.0, null, null), (season.FactorOn(FirstDay.AddDays(300)), season.ClosedOn, season.ClosedBecause));
    }

    private static void Walk((int[] Gaps, int[] MaxC) drawn, Tree season, Action<int> each)
    {
        int[] codes = [1, 9, 60, 69];
        for (var day = 0; day < drawn.MaxC.Length + drawn.Gaps.Sum(); day++)
        {
            for (var i = 0; i < codes.Length; i++)
            {
                if (drawn.Gaps.Take(i + 1).Sum() == day)
                    season.Reached(codes[i], FirstDay.AddDays(day));
            }

            each(day);
            season.DayOver(Day(day, drawn.MaxC[day % drawn.MaxC.Length]));
        }
    }

    /// <summary>A season beside the days on which its tree reached the stages that close it.</summary>
    private sealed class Tree
    {
        private readonly SusceptibleSeason _season = new();
        private DateOnly? _greenTipOn, _petalFallOn;

        public DateOnly? ClosedOn => _season.ClosedOn;

        public bool ClosedByWarmth => _season.ClosedByWarmth;

        public string? ClosedBecause => _season.ClosedBecause;

        public void Reached(int code, DateOnly on)
        {
            _greenTipOn ??= code >= 9 ? on : null;
            _petalFallOn ??= code >= 69 ? on : null;
        }

        public double FactorOn(DateOnly day) => _season.FactorOn(day, _petalFallOn);

        public void DayOver(DayWeather day) => _season.DayOver(day, _greenTipOn, _petalFallOn, null, null);

        public void Begin()
        {
            _season.Begin();
            (_greenTipOn, _petalFallOn) = (null, null);
        }
    }

    private static DayWeather Day(int day, double maxC) => new(FirstDay.AddDays(day), maxC - 6, maxC - 12, maxC, 0, 1);
}
