namespace BackyardSentinel.Weather;

/// <summary>A sensor that counts the minutes its leaf was wet: each minute counts, and no limit does.</summary>
public sealed class WetMinutesTests
{
    private static readonly DateTimeOffset Start = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    [Fact]
    public void Seven_wet_minutes_of_ten_are_seven_tenths_of_the_interval_after_them()
    {
        var builder = new IntervalBuilder(new Site { Id = "yard", LeafWetIsShare = true, LeafWetOn = 1, LeafWetOff = 1 });
        builder.Add(new Reading(Quantity.LeafWetness, Start, 70));
        builder.Add(new Reading(Quantity.LeafWetness, Start.AddMinutes(10), 0));
        builder.Add(new Reading(Quantity.LeafWetness, Start.AddMinutes(20), 100));
        Assert.Equal([0.7, 0, 1], Shares(builder, 3).Select(share => Math.Round(share, 9)));
    }

    [Fact]
    public void Little_wetness_often_is_as_long_as_much_wetness_seldom()
    {
        var builder = new IntervalBuilder(new Site { Id = "yard", LeafWetIsShare = true, LeafWetOn = 1, LeafWetOff = 1 });
        for (var i = 0; i < 12; i++)
            builder.Add(new Reading(Quantity.LeafWetness, Start.AddMinutes(10 * i), 40));
        Assert.Equal(12 * 0.4, Shares(builder, 12).Sum(), 9);
    }

    private static List<double> Shares(IntervalBuilder builder, int count) =>
        [
            .. Enumerable
                .Range(1, count)
                .Select(
                    i => builder.TryTake(Start.AddMinutes(10 * i), out var interval) ? Math.Round(interval.LeafWetShare!.Value, 6) : -1),
        ];
}
