using BackyardSentinel.Tests.Planning;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Tests.Watching;

/// <summary>The journal with a spray on another day.</summary>
public class SprayMoveTests
{
    private static readonly DateOnly Done = new(2027, 1, 10), Asked = new(2027, 2, 1);

    private static readonly Site Place = new()
    {
        Id = "south-wall",
        Products = [SprayGarden.Copper, SprayGarden.Oil],
        Plantings = [new Planting(SprayGarden.Peach), new Planting("low-terrace")],
    };

    private static readonly JournalEntry[] Journal =
    [
        SprayGarden.Spray(1, "2027-01-10"),
        SprayGarden.Spray(2, "2027-01-10", planting: "low-terrace"),
        SprayGarden.Spray(3, "2027-01-10", "oil"),
        SprayGarden.Spray(4, "2026-11-20"),
        new StageEntry(5, "south-wall", SprayGarden.Peach, Done, 1),
        SprayGarden.Spray(6, "2027-01-10") with { Site = "elsewhere" },
    ];

    [Fact]
    public void Every_spray_of_the_day_that_gives_cover_is_moved_and_nothing_else()
    {
        var move = Made(Asked, Done);

        Assert.Equal([1, 2], move.Sprays.Select(spray => spray.Number));
        Assert.All(move.Sprays, spray => Assert.Equal(Asked, spray.On));
        Assert.Equal([3, 4, 5, 6, 1, 2], move.Journal.Select(entry => entry.Number));
        Assert.Equal((Asked, (DateOnly?)Done), (move.On, move.InsteadOf));
    }

    [Fact]
    public void A_spray_that_is_added_goes_on_every_planting_under_numbers_of_its_own()
    {
        var move = Made(Asked, null);

        Assert.Equal(
            [(7L, SprayGarden.Peach, "copper"), (8L, "low-terrace", "copper")],
            move.Sprays.Select(spray => (spray.Number, spray.Planting, spray.Product)));
        Assert.Equal(Journal.Length + 2, move.Journal.Count);
    }

    [Fact]
    public void What_cannot_be_moved_or_added_is_said_in_a_sentence()
    {
        Assert.Equal(
            "The journal has no spray on 2027-01-11 that gives cover; it has some on 2026-11-20, 2027-01-10.",
            Refused(Asked, new DateOnly(2027, 1, 11)));
        Assert.Equal("The journal has no spray of oil on 2027-01-10 that gives cover; it has none at all.", Refused(Asked, Done, "oil"));
        Assert.Equal("oil leaves no cover that could be followed; copper would.", Refused(Asked, null, "oil"));
        Assert.Equal("The journal has copper on white-peach on 2027-01-10 as it is.", Refused(Done, new DateOnly(2026, 11, 20)));
        Assert.Equal("The journal has copper on white-peach on 2027-01-10 as it is.", Refused(Done, null));
        Assert.Contains("mystery", Refused(Asked, null, "mystery"), StringComparison.Ordinal);
    }

    [Fact]
    public void Which_product_is_meant_is_asked_where_several_give_cover()
    {
        var site = Place with { Products = [SprayGarden.Copper, SprayGarden.Copper with { Id = "blue", Name = "blue" }] };

        Assert.False(SprayMove.TryMake(site, Journal, Asked, null, null, out _, out var reason));
        Assert.Equal("Several products give cover (copper, blue); say which is meant.", reason);
        Assert.True(SprayMove.TryMake(site, Journal, Asked, null, "blue", out var move, out _));
        Assert.All(move.Sprays, spray => Assert.Equal("blue", spray.Product));
        Assert.False(SprayMove.TryMake(Place with { Products = [SprayGarden.Oil] }, Journal, Asked, null, null, out _, out reason));
        Assert.Equal("The garden file has no product whose cover could be followed, such as a copper.", reason);
    }

    private static SprayMove Made(DateOnly on, DateOnly? insteadOf) =>
        SprayMove.TryMake(Place, Journal, on, insteadOf, null, out var move, out var reason)
            ? move
            : throw new InvalidOperationException(reason);

    private static string Refused(DateOnly on, DateOnly? insteadOf, string? product = null)
    {
        Assert.False(SprayMove.TryMake(Place, Journal, on, insteadOf, product, out _, out var reason));
        return reason!;
    }
}
