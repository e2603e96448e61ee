using BackyardSentinel.Infection;
using BackyardSentinel.Weather;
using CsCheck;
using Xunit;

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
        var outlook = Look(new WetSpellTracker(false, false), Wet(wetHours, rainMm, tempC));

        Assert.Equal(opens, outlook is not null);
        if (outlook is { } window)
            Assert.Equal(Now.AddHours(13), window.OpensAt);
    }

    [Fact]
    public void What_was_measured_counts_on_and_is_not_changed_by_looking()
    {
        var spells = new WetSpellTracker(false, false);
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

        Assert.Null(Look(new WetSpellTracker(false, false), hours));
        Assert.NotNull(Look(new WetSpellTracker(false, false), bridged));
    }

    [Fact]
    public void Hours_of_the_past_frost_and_closed_tissue_open_nothing()
    {
        Assert.Null(Look(new WetSpellTracker(false, false), Wet(30, 20, 9, Now.AddHours(-40))));
        Assert.Null(Look(new WetSpellTracker(false, false), Wet(30, 20, -1)));
        Assert.Null(WindowOutlook.Of(new WetSpellTracker(false, false), Now, Wet(30, 20, 9), 90, factor: 0));
    }

    [Fact]
    public void More_rain_and_more_wet_hours_never_lower_the_outlook()
    {
        Gen.Select(Gen.Int[0, 40], Gen.Double[0, 20], Gen.Double[1, 15], Gen.Int[0, 10], Gen.Double[0, 5])
            .Sample(
                (hours, rain, temp, moreHours, moreRain) =>
                {
                    var less = Look(new WetSpellTracker(false, false), Wet(hours, rain, temp))?.HighestLevel ?? Level.Clear;
                    var more =
                        Look(new WetSpellTracker(false, false), Wet(hours + moreHours, rain + moreRain, temp))?.HighestLevel ?? Level.Clear;
                    return more >= less || moreHours > 0 && rain + moreRain < 3;
                });
    }

    private static WindowOutlook? Look(WetSpellTracker spells, IReadOnlyList<ForecastHour> hours) =>
        WindowOutlook.Of(spells, Now, hours, 90, factor: 1);

    /// <summary>Wet hours, all the rain in the first of them; the rest are wet by their humidity.</summary>
    private static List<ForecastHour> Wet(int hours, double rainMm, double tempC, DateTimeOffset? from = null) =>
        [.. Enumerable.Range(0, hours).Select(i => new ForecastHour((from ?? Now).AddHours(i), tempC, 95, i == 0 ? rainMm : 0))];

    private static IEnumerable<ForecastHour> Dry(int hours, DateTimeOffset from) =>
        Enumerable.Range(0, hours).Select(i => new ForecastHour(from.AddHours(i), 9, 60, 0));
}
