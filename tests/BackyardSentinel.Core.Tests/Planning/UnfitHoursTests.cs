using static BackyardSentinel.Tests.Planning.SprayGarden;

namespace BackyardSentinel.Tests.Planning;

public class UnfitHoursTests
{
    [Fact]
    public void Hours_that_the_weather_refuses_for_one_reason_are_one_span()
    {
        var spans = Spans(Request(Bare(), Copper) with
        {
            Forecast = Fair((i, hour) => i switch
            {
                >= 10 and < 14 => hour with { WindMs = 8 },
                14 => hour with { TemperatureC = 4.2 },
                _ => hour,
            }),
        });

        Assert.Equal(
            [(Now.AddHours(10), Now.AddHours(14), "too much wind"), (Now.AddHours(14), Now.AddHours(15), "too cold")],
            spans.Select(span => (span.From, span.To, span.Reason.Text)));
    }

    [Fact]
    public void Each_product_has_its_own()
    {
        var gentle = Copper with { Id = "gentle", Label = new() { MaxWindMs = 2 } };
        var request = Request(Bare(), Copper);

        var span = Assert.Single(Spans(request with { Products = [Copper, gentle] }));
        Assert.Equal(("gentle", Now, Now.AddDays(10), "too much wind"), (span.Product, span.From, span.To, span.Reason.Text));
    }

    [Fact]
    public void A_fit_hour_alone_is_said_to_be_one()
    {
        var spans = Spans(Request(Bare(), Copper) with { Forecast = Fair((i, hour) => i == 30 ? hour : hour with { WindMs = 8 }) });

        Assert.Equal(
            [
                (Now, "too much wind"),
                (Now.AddHours(30), "fit, but alone: a slot takes at least 2 h"),
                (Now.AddHours(31), "too much wind"),
            ],
            spans.Select(span => (span.From, span.Reason.Text)));
    }

    [Fact]
    public void What_is_refused_whatever_the_weather_is_not_told_again()
    {
        var request = Request(Bare(), Copper with { Label = new() { MinDaysBetween = 14 } }, Spray(1, "2027-01-10")) with
        {
            Forecast = Fair((_, hour) => hour with { WindMs = 8 }),
        };

        var span = Assert.Single(Spans(request));
        Assert.Equal((new DateTimeOffset(2027, 1, 24, 0, 0, 0, TimeSpan.Zero), Now.AddDays(10)), (span.From, span.To));
    }

    [Fact]
    public void They_go_on_right_up_to_what_is_refused_later_on_whatever_the_weather()
    {
        var swell = new ExpectedSwell(new(2027, 1, 30), new(2027, 1, 25), new(2027, 2, 4), $"invented");
        var request = Request(Bare() with { BudSwell = swell }, LimeSulfur) with { Forecast = Fair((_, hour) => hour with { WindMs = 8 }) };

        var span = Assert.Single(Spans(request));
        Assert.Equal((Now, new DateTimeOffset(2027, 1, 25, 0, 0, 0, TimeSpan.Zero)), (span.From, span.To));
    }

    [Fact]
    public void Of_several_plantings_each_has_its_spans_in_the_order_of_the_plan()
    {
        var forecast = Fair((i, hour) => i is 10 or 20 ? hour with { WindMs = 8 } : hour);
        var request = Request(Bare(), Copper) with
        {
            Forecast = forecast,
            Plantings = [Bare() with { Id = "z" }, Bare() with { Id = "a" }],
        };

        Assert.Equal(
            [("z", 10), ("z", 20), ("a", 10), ("a", 20)],
            Spans(request).Select(span => (span.Planting, (int)(span.From - Now).TotalHours)));
    }

    [Fact]
    public void The_hour_that_runs_and_a_forecast_that_ends_early_bound_them()
    {
        var request = Request(Bare(), Copper) with
        {
            AsOf = Now.AddMinutes(20),
            Forecast = Fair((_, hour) => hour with { WindMs = 8 }, hours: 50),
        };

        var span = Assert.Single(Spans(request), span => span.Reason.Text == "too much wind");
        Assert.Equal(Now.AddHours(1), span.From);
        Assert.Equal(Now.AddHours(50), Spans(request)[^1].To);
        Assert.Empty(UnfitHours.Of(request, SprayPlanner.Plan(request with { Forecast = null })));
    }

    private static IReadOnlyList<RefusedSpray> Spans(PlanRequest request) => UnfitHours.Of(request, SprayPlanner.Plan(request));
}
