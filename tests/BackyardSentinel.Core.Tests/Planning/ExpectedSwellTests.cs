
namespace BackyardSentinel.Tests.Planning;

public class ExpectedSwellTests
{
    private static readonly DateOnly Early = new(2027, 2, 6), Expected = new(2027, 2, 12), Late = new(2027, 2, 19);

    [Fact]
    public void A_look_ahead_that_knows_both_ends_is_taken_as_it_is() =>
        Assert.Equal(
            (Expected, Early, Late, "From an invented year."),
            Told(new BudSwell(Expected, Early, Late, $"From an invented year.")));

    [Fact]
    public void A_late_end_that_is_not_known_is_said_to_be() =>
        Assert.Equal(
            (Expected, Early, Expected, "From an invented year. The late end is not known."),
            Told(new BudSwell(Expected, Early, null, $"From an invented year.")));

    [Fact]
    public void Without_an_early_end_there_is_no_deadline()
    {
        Assert.Null(ExpectedSwell.Of(new BudSwell(Expected, null, Late, $"invented")));
        Assert.Null(ExpectedSwell.Of(new BudSwell(null, Early, Late, $"invented")));
    }

    private static (DateOnly, DateOnly, DateOnly, string) Told(BudSwell swell)
    {
        var told = ExpectedSwell.Of(swell)!;
        return (told.Expected, told.Early, told.Late, told.Basis.Text);
    }
}
