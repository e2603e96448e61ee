namespace BackyardSentinel.Tests.Infection;

// Intervals of ten minutes, so 24 make the four hours of dryness that a spell survives. That limit is published for
// fruit (Rossi, Bolognesi and Giosuè 2007, Phytopathology 97:1625–1633) and assumed for shoots.
public class WetSpellTrackerTests
{
    private static readonly Wetness Wet = new(WetnessState.Wet, 1);
    private static readonly Wetness Dry = new(WetnessState.Dry, 0);
    private static readonly Wetness Frozen = new(WetnessState.Frozen, 0);
    private static readonly Wetness Unknown = new(WetnessState.Unknown, 0);

    private readonly WetSpellTracker _tracker = new(WetSpellLimits.Usual, noRainGauge: false);
    private readonly List<WetSpell> _ended = [];
    private int _next;

    [Fact]
    public void A_spell_starts_with_rain_and_not_with_wetness_alone()
    {
        Tell(6, Wet);
        Assert.Null(_tracker.Running);

        Tell(1, Wet, rainMm: 0.2);
        Assert.Equal(Some.At(1), _tracker.Running?.Start);
        Assert.Equal(1.0 / 6, _tracker.Running?.WetHours);
    }

    [Theory]
    [InlineData(true, false)]
    [InlineData(false, true)]
    public void Any_wetness_starts_a_spell_where_the_site_says_so_or_has_no_gauge(bool anyWetness, bool noGauge)
    {
        var other = new WetSpellTracker(new WetSpellLimits(startsOnAnyWetness: anyWetness), noGauge);

        Assert.True(other.Observe(Some.Interval(0, rainMm: null), Wet, out _));
        Assert.Equal(noGauge, other.Running?.NoRainGauge);
    }

    [Fact]
    public void Dryness_frost_and_ignorance_of_four_hours_together_keep_a_spell()
    {
        Tell(1, Wet, rainMm: 1);
        Tell(8, Dry);
        Tell(8, Frozen);
        Tell(8, Unknown);
        Tell(1, Wet);

        Assert.Empty(_ended);
        Assert.Equal((Some.At(0), Some.Clock(4, 20)), (_tracker.Running!.Value.Start, _tracker.Running.Value.End));
        Assert.Equal(2.0 / 6, _tracker.Running.Value.WetHours, 12);
    }

    [Fact]
    public void More_than_four_hours_end_it_at_the_end_of_its_last_wet_interval()
    {
        Tell(3, Wet, rainMm: 1);
        Tell(24, Dry);
        Assert.Empty(_ended);

        Tell(1, Dry);
        Assert.Equal(Some.At(0.5), Assert.Single(_ended).End);
        Assert.Null(_tracker.Running);

        Tell(1, Wet);
        Assert.Null(_tracker.Running);
    }

    [Fact]
    public void Wet_time_anew_resets_the_gap()
    {
        Tell(1, Wet, rainMm: 1);
        for (var i = 0; i < 5; i++)
        {
            Tell(24, Dry);
            Tell(1, Wet);
        }

        Assert.Empty(_ended);
        Assert.Equal(1, _tracker.Running!.Value.WetHours, 12);
    }

    [Fact]
    public void Sums_and_the_mean_are_those_of_wet_time()
    {
        Tell(1, Wet, rainMm: 1.5, tempC: 4);
        Tell(6, Dry, tempC: 20);
        Tell(1, new Wetness(WetnessState.Wet, 0.5), rainMm: 0, tempC: 10);
        Tell(1, Wet, rainMm: null, tempC: null);

        var spell = _tracker.Running!.Value;
        Assert.Equal(2.5 / 6, spell.WetHours, 12);
        Assert.Equal(1.5, spell.RainMm);
        Assert.Equal(6, spell.MeanTempC!.Value, 12);
        Assert.Equal((4, 10), (spell.MinTempC, spell.MaxTempC));
    }

    [Fact]
    public void A_spell_without_any_temperature_has_no_mean()
    {
        Tell(3, Wet, rainMm: 1, tempC: null);

        Assert.Equal(
            (null, null, null, true),
            (_tracker.Running?.MeanTempC, _tracker.Running?.MinTempC, _tracker.Running?.MaxTempC, _tracker.Running?.Uncertain));
    }

    // "Exceeds 10 %": twenty intervals may hold two without a temperature, not three.
    [Theory]
    [InlineData(2, false)]
    [InlineData(3, true)]
    public void A_spell_is_uncertain_when_more_than_a_tenth_of_it_is_unclear(int unclear, bool uncertain)
    {
        Tell(19 - unclear, Wet, rainMm: 1);
        Tell(unclear, Wet, tempC: null);
        Tell(1, Wet);

        Assert.Equal(uncertain, _tracker.Running?.Uncertain);
    }

    [Theory]
    [InlineData(2, false)]
    [InlineData(3, true)]
    public void Unknown_time_inside_a_spell_is_unclear_too(int unclear, bool uncertain)
    {
        Tell(19 - unclear, Wet, rainMm: 1);
        Tell(unclear, Unknown);
        Tell(1, Wet);

        Assert.Equal(uncertain, _tracker.Running?.Uncertain);
    }

    [Fact]
    public void Unknown_time_after_the_last_wet_interval_is_not_part_of_the_spell()
    {
        Tell(20, Wet, rainMm: 1);
        Tell(25, Unknown);

        Assert.False(Assert.Single(_ended).Uncertain);
    }

    private void Tell(int intervals, Wetness wetness, double? rainMm = 0, double? tempC = 10)
    {
        for (var i = 0; i < intervals; i++)
        {
            _tracker.Observe(Some.Interval(_next++, tempC, i == 0 ? rainMm : 0), wetness, out var over);
            if (over is { } spell)
                _ended.Add(spell);
        }
    }
}
