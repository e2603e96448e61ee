using BackyardSentinel.Alerting;

namespace BackyardSentinel.Hosting;

public sealed class HouseCheckTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 12, 0, 0, TimeSpan.Zero);

    [Fact]
    public void A_store_that_was_damaged_is_told_once_and_not_when_it_is_long_ago()
    {
        var house = new HouseCheck(() => 900, null, new StoreDamaged(Now.AddHours(-1), 100, 3));
        Assert.Equal(3, Assert.IsType<StoreDamaged>(Assert.Single(house.Look(Now))).Lost);
        Assert.Empty(house.Look(Now.AddMinutes(1)));
        Assert.Empty(new HouseCheck(() => 900, null, new StoreDamaged(Now.AddDays(-3), 100, 3)).Look(Now));
    }

    [Fact]
    public void A_full_disk_is_told_once_and_again_only_after_it_was_well()
    {
        long? free = 2000;
        var house = new HouseCheck(() => free, null);
        Assert.Empty(house.Look(Now));

        free = 480;
        Assert.Equal(480, Assert.IsType<DiskLow>(Assert.Single(house.Look(Now.AddMinutes(1)))).FreeMb);
        free = 550; // Neither low nor well: nothing new.
        Assert.Empty(house.Look(Now.AddMinutes(2)));
        free = 450;
        Assert.Empty(house.Look(Now.AddMinutes(3)));
        Assert.Equal(480, Assert.IsType<DiskLow>(Assert.Single(house.Standing)).FreeMb);
        free = 800;
        Assert.Empty(house.Look(Now.AddMinutes(4)));
        Assert.Empty(house.Standing);
        free = 450;
        Assert.Single(house.Look(Now.AddMinutes(5)));
        free = null;
        Assert.Empty(house.Look(Now.AddMinutes(6)));
    }
}
