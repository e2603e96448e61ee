using BackyardSentinel.Units;

namespace BackyardSentinel.Sensors;

// What rain can do is assumed: 50 mm in ten minutes at most, and a rate holds for half an hour.
public sealed class RainEdgesTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private static readonly SeriesMap Total = new()
    {
        SiteId = "yard",
        Quantity = Quantity.Rain,
        Topic = "a/b",
        Path = "r",
        TimePath = "at",
        RainIsTotal = true,
        Unit = Unit.Millimetre,
    };

    private static readonly SeriesMap Rate = Total with { RainIsTotal = false, RainIsRate = true };

    [Fact]
    public void A_rate_makes_the_rain_of_the_time_since_the_message_before()
    {
        var map = new PayloadMap([Rate]);

        Assert.Equal((null, "first rain rate: amounts are counted from here"), Say(map, 12, 0));
        Assert.Equal((1.0, null), Say(map, 6, 5)); // 12 mm/h for five minutes.
        Assert.Equal((3.0, null), Say(map, 0, 35)); // 6 mm/h for exactly half an hour.
        Assert.Equal((0.0, null), Say(map, 4, 135));
        Assert.Equal(
            (2.0, "nothing was heard of the rain rate for more than half an hour: it counts for half an hour"),
            Say(map, 0, 166));
        Assert.Equal((null, "rain rate is not newer than the last one"), Say(map, 5, 166));
        Assert.Equal((0.0, null), Say(map, 5, 170));
    }

    [Theory]
    [InlineData(300, true)]
    [InlineData(300.1, false)]
    [InlineData(-0.1, false)]
    public void A_rate_beyond_a_cloudbursts_is_refused(double rate, bool taken)
    {
        var map = new PayloadMap([Rate]);
        Say(map, 0, 0);

        Assert.Equal(taken, Say(map, rate, 5).Mm is not null);
    }

    [Fact]
    public void A_total_needs_a_newer_time_and_a_copy_sent_again_is_no_reset()
    {
        var map = new PayloadMap([Total]);

        Assert.Equal((null, "first rain total: amounts are counted from here"), Say(map, 10, 0));
        Assert.Equal((null, "rain total is not newer than the last one"), Say(map, 12, 0));
        Assert.Equal((2.0, null), Say(map, 12, 5));
        Assert.Equal((null, "rain total was sent before"), Say(map, 11, 10, redelivered: true));
        Assert.Equal((0.0, null), Say(map, 12, 10, redelivered: true));
        Assert.Equal((0.0, "rain total fell: it counts as a reset when it stays low for 10 minutes"), Say(map, 11, 15));
    }

    [Fact]
    public void Four_falls_in_a_day_are_amounts_that_were_taken_for_a_total()
    {
        var map = new PayloadMap([Total]);
        List<string?> said = [];
        for (var i = 0; i < 9; i++)
            said.Add(Say(map, i % 2 == 0 ? 1 : 0.5, 30 * i).Remark);

        Assert.Equal(3, said.Count(one => one?.StartsWith("rain total fell: it counts", StringComparison.Ordinal) == true));
        Assert.Equal(1, said.Count(one => one?.StartsWith("rain total falls again and again", StringComparison.Ordinal) == true));
    }

    [Fact]
    public void A_counter_of_a_known_size_rolls_over()
    {
        // Twelve bits of tips of a fifth of a millimetre.
        var map = new PayloadMap([Total with { RollsOverAt = 4096, Scale = 0.2 }]);

        Say(map, 4090, 0);
        Assert.Equal(2.0, Say(map, 4, 10).Mm!.Value, 6); // 6 and 4 tips.
        Assert.Equal(1.0, Say(map, 9, 20).Mm!.Value, 6);
        // A fall from elsewhere is a reset.
        Assert.StartsWith("rain total fell", Say(map, 3, 30).Remark, StringComparison.Ordinal);
    }

    /// <summary>
    /// A counter that turns over every 51.2 mm: what it makes after its first turn is counted in whatever steps it comes.
    /// </summary>
    [Theory]
    [InlineData(0.2)]
    [InlineData(1.2)]
    [InlineData(2)]
    [InlineData(9.8)]
    public void A_small_counter_loses_no_rise_after_its_first_turn(double stepMm)
    {
        // Eight bits of tips of a fifth of a millimetre, a message each two hours.
        var map = new PayloadMap([Total with { RollsOverAt = 256, Scale = 0.2 }]);
        var (tips, counted, n) = (0, 0.0, 0);
        Say(map, 0, 0);
        while (tips < 256 * 5)
        {
            tips += (int)Math.Round(stepMm / 0.2);
            counted += Say(map, tips % 256, 120 * ++n).Mm ?? 0;
        }

        // What leapt last is counted with the next message.
        counted += Say(map, tips % 256, 120 * ++n).Mm ?? 0;
        Assert.Equal(tips * 0.2, counted, 6);
    }

    private static (double? Mm, string? Remark) Say(PayloadMap map, double value, int minute, bool redelivered = false)
    {
        var time = Now.AddMinutes(minute).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
        var result = map.Read(
            "a/b",
            Encoding.UTF8.GetBytes(FormattableString.Invariant($"{{\"r\":{value},\"at\":\"{time}\"}}")),
            Now.AddMinutes(minute),
            retained: false,
            redelivered);
        return (
            result.Readings.Count == 0 ? null : Math.Round(result.Readings[0].Reading.Value, 6),
            result.Remarks.Count == 0 ? null : result.Remarks[0].Reason.Text);
    }
}
