using BackyardSentinel.Alerting;

namespace BackyardSentinel.Tests;

public sealed class SiteOutlookTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 20, 12, 0, 0, TimeSpan.Zero);

    private static readonly Site Place = new()
    {
        Id = "south-wall",
        LatitudeDeg = 46,
        LongitudeDeg = 14,
        Plantings = [new Planting("white-peach") { Follows = StageNeeds.Default }],
    };

    [Fact]
    public void A_forecast_that_leads_to_a_likely_window_is_told_with_its_figures()
    {
        var ahead = Assert.IsType<WindowAhead>(Assert.Single(Look(Wet(30, 12, 8))));

        // Told as it stands when the level is first reached, after 25 of the 30 hours.
        Assert.Equal(
            ("white-peach", Level.Likely, 25.0, Cover.None), (ahead.PlantingId, ahead.Expected, ahead.WetHours!.Value, ahead.Cover!.Value));
        Assert.Equal(10, ahead.RainMm!.Value, 6);
        Assert.InRange(ahead.ExpectedAt, Now.AddHours(12), Now.AddHours(36));
    }

    [Fact]
    public void A_dry_a_warm_a_far_and_no_forecast_tell_nothing()
    {
        Assert.Empty(Look(null));
        Assert.Empty(Look([.. Enumerable.Range(0, 48).Select(i => new ForecastHour(Now.AddHours(i), 8, 60, 0))]));
        Assert.Empty(Look(Wet(30, 12, 18)));
        Assert.Empty(Look([.. Wet(30, 12, 8).Select(hour => hour with { Start = hour.Start.AddDays(4) })]));
    }

    [Fact]
    public void Closed_tissue_is_told_nothing()
    {
        List<JournalEntry> over =
        [
            new StageEntry(1, "south-wall", "white-peach", new DateOnly(2026, 12, 1), 9),
            new StageEntry(2, "south-wall", "white-peach", new DateOnly(2026, 12, 20), 69),
        ];

        Assert.Empty(Look(Wet(30, 12, 8), over));
    }

    private static List<Occasion> Look(IReadOnlyList<ForecastHour>? hours, IReadOnlyList<JournalEntry>? journal = null)
    {
        journal ??= [new StageEntry(1, "south-wall", "white-peach", new DateOnly(2027, 3, 10), 9)];
        var watch = new SiteWatch(Place, _ => { }, journal);
        for (var at = Now.AddDays(-12); at <= Now; at = at.AddHours(1))
            watch.Accept(new Reading(Quantity.Temperature, at, 8, default), at);
        watch.AdvanceTo(Now.AddMinutes(5));
        var forecast = hours is null ? null : new Forecast("invented", Now, hours);
        return [.. SiteOutlook.Look(watch, journal, forecast, Now.AddMinutes(5))];
    }

    private static List<ForecastHour> Wet(int hours, double rainMm, double tempC) =>
        [.. Enumerable.Range(1, hours).Select(i => new ForecastHour(Now.AddHours(i), tempC, 95, rainMm / hours))];
}
