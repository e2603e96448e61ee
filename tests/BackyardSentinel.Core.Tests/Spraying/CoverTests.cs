using BackyardSentinel.Spraying;
using BackyardSentinel.Tests.Planning;

namespace BackyardSentinel.Tests.Spraying;

public class CoverTests
{
    private static readonly DateTimeOffset Sprayed = Some.Midnight;

    // Kansas State extension, through the press: below an inch (25 mm) ignore, one to two inches half is left, above
    // spray again.
    [Theory]
    [InlineData(20, Cover.Fresh)]
    [InlineData(24.9, Cover.Fresh)]
    [InlineData(25, Cover.Recheck)]
    [InlineData(30, Cover.Recheck)]
    [InlineData(50, Cover.Spent)]
    [InlineData(55, Cover.Spent)]
    public void Rain_takes_the_cover_off_as_published_for_leaves(double rainMm, Cover cover) =>
        Assert.Equal(cover, new WashOff().After(rainMm));

    // Gaskin and others 2013 (abstract): after 50 mm up to all of it was still on woody canes. Who trusts that can say so.
    [Fact]
    public void On_wood_the_limits_can_be_set_higher() => Assert.Equal(Cover.Fresh, new WashOff(75, 150).After(50));

    [Fact]
    public void Rain_from_the_very_moment_on_counts_by_the_products_limits_also_where_the_spray_is_written_down_late()
    {
        var track = new CoverTrack(new WashOff(10, 60));
        track.Rain(20, Sprayed.AddMinutes(-10));
        track.Rain(12, Sprayed);
        track.Sprayed(Sprayed);

        Assert.Equal((Cover.Recheck, 12.0), (track.Cover, track.RainMm));
        track.Rain(40, Sprayed.AddDays(1));
        Assert.Equal((Cover.Recheck, 52.0), (track.Cover, track.RainMm));
    }

    [Fact]
    public void A_tree_never_sprayed_has_none_however_dry_it_is()
    {
        var track = new CoverTrack();
        track.Rain(5, Sprayed);

        Assert.Equal((Cover.None, 0.0), (track.Cover, track.RainMm));
    }

    [Fact]
    public void Rain_before_the_spray_does_not_count_and_small_tips_add_up()
    {
        var track = new CoverTrack();
        track.Rain(100, Sprayed.AddMinutes(-10));
        track.Sprayed(Sprayed);
        for (var i = 0; i < 124; i++)
            track.Rain(0.2, Sprayed.AddMinutes(10 * i));
        Assert.Equal(Cover.Fresh, track.Cover);

        track.Rain(0.2, Sprayed.AddDays(2));
        Assert.Equal(Cover.Recheck, track.Cover);
        Assert.Equal(25, track.RainMm, 9);

        track.Sprayed(Sprayed.AddDays(3));
        Assert.Equal((Cover.Fresh, 0.0), (track.Cover, track.RainMm));
    }

    [Fact]
    public void A_spray_written_down_late_counts_from_its_own_day()
    {
        var (prompt, late) = (new CoverTrack(), new CoverTrack());
        prompt.Sprayed(Sprayed);
        foreach (var track in new[] { prompt, late })
        {
            track.Rain(40, Sprayed.AddHours(-5));
            track.Rain(30, Sprayed.AddHours(5));
            track.Rain(25, Sprayed.AddHours(50));
        }

        late.Sprayed(Sprayed);
        late.Sprayed(Sprayed.AddDays(-30)); // An older spray told later changes nothing.
        Assert.Equal((prompt.Cover, prompt.RainMm, prompt.SprayedAt), (late.Cover, late.RainMm, late.SprayedAt));
        Assert.Equal(Cover.Spent, late.Cover);
    }

    [Theory]
    [InlineData("2027-01-10", 15, 30, "2027-01-10T14:30:00Z")]
    [InlineData("2027-01-10", null, 0, "2027-01-10T11:00:00Z")]
    [InlineData("2027-03-28", 2, 10, "2027-03-28T01:10:00Z")] // 2:10 is skipped; 3:10 is 1:10 UTC.
    [InlineData("2027-10-31", 2, 10, "2027-10-31T01:10:00Z")]
    public void A_sprays_end_is_told_in_the_gardens_time(string on, int? hour, int minute, string utc)
    {
        var entry = SprayGarden.Spray(1, on) with { At = hour is { } h ? new TimeOnly(h, minute) : null };
        var end = CoverTrack.EndOf(entry, TimeZoneInfo.FindSystemTimeZoneById("Europe/Ljubljana"));

        Assert.Equal(DateTimeOffset.Parse(utc, System.Globalization.CultureInfo.InvariantCulture), end);
    }

    [Fact]
    public void Only_coppers_are_said_to_give_cover() =>
        Assert.All(Enum.GetValues<ActiveIngredient>(), active => Assert.Equal(active.IsCopper(), active.GivesCover()));

    [Fact]
    public void Amounts_that_are_none_are_bugs()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new CoverTrack().Rain(double.NaN, Sprayed));
        Assert.Throws<ArgumentOutOfRangeException>(() => new CoverTrack().Rain(-1, Sprayed));
        Assert.Throws<ArgumentOutOfRangeException>(() => new CoverTrack().Rain(double.PositiveInfinity, Sprayed));
        new CoverTrack().Rain(0, Sprayed);
        Assert.Throws<ArgumentOutOfRangeException>(() => new WashOff(0));
        Assert.Throws<ArgumentOutOfRangeException>(() => new WashOff(30, 20));
    }
}
