using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>
/// The hours that a plan does not name as slots, with what speaks against each: every hour of the forecast within the
/// plan lies in a slot, in a time that is refused whatever the weather, or in one of these spans.
/// </summary>
public static class UnfitHours
{
    /// <summary>The spans in which the weather refuses a product, by planting and product as the plan has them.</summary>
    /// <param name="request">What the plan was made from.</param>
    /// <param name="plan">The plan.</param>
    public static IReadOnlyList<RefusedSpray> Of(PlanRequest request, SprayPlan plan)
    {
        if (plan.Forecast is not { } forecast)
            return [];
        List<RefusedSpray> spans = [];
        foreach (var product in request.Products)
        {
            var weather = request.WeatherFor(product, forecast.Hours);
            var reasons = Hours(plan).ToDictionary(hour => hour, hour => Reason(weather.Judge(hour)));
            foreach (var planting in plan.Plantings)
                spans.AddRange(Spans(plan, planting.Planting, product.Id, reasons));
        }

        var order = plan
            .Plantings.Select((planting, index) => (planting.Planting, index))
            .ToDictionary(pair => pair.Planting, pair => pair.index);
        return [.. spans.OrderBy(span => order[span.Planting])];
    }

    private static IEnumerable<DateTimeOffset> Hours(SprayPlan plan)
    {
        var first = ClockHour.Of(plan.AsOf.AddTicks(TimeSpan.TicksPerHour - 1));
        var until = plan.Forecast!.Until < plan.Until ? plan.Forecast.Until : plan.Until;
        for (var hour = first; hour.AddHours(1) <= until; hour = hour.AddHours(1))
            yield return hour;
    }

    private static IEnumerable<RefusedSpray> Spans(
        SprayPlan plan,
        string planting,
        string product,
        Dictionary<DateTimeOffset, Sentence?> reasons)
    {
        var slots = plan.Slots.Where(slot => slot.Planting == planting && slot.Product == product).ToList();
        var always = plan.Refused.Where(refused => refused.Planting == planting && refused.Product == product).ToList();
        RefusedSpray? span = null;
        foreach (var (hour, weather) in reasons)
        {
            var end = hour.AddHours(1);
            if (slots.Any(slot => hour < slot.End && end > slot.Start) || always.Any(refused => hour < refused.To && end > refused.From))
                continue;
            var reason = weather ?? (Sentence)$"fit, but alone: a slot takes at least {SlotFinder.LeastHours} h";
            if (span is not null && span.To == hour && span.Reason.Equals(reason))
            {
                span = span with { To = end };
                continue;
            }

            if (span is not null)
                yield return span;
            span = new RefusedSpray(planting, product, hour, end, reason);
        }

        if (span is not null)
            yield return span;
    }

    private static Sentence? Reason(IReadOnlyList<HourFault> faults)
    {
        var blocking = faults.Where(fault => fault.Blocks).Select(Word).Distinct().ToList();
        return blocking.Count == 0 ? null : Sentence.Joined("; ", blocking);
    }

    /// <summary>The reason without the hour's own number, so that hours of one kind make one span.</summary>
    private static Sentence Word(HourFault fault) => fault.Reason switch
    {
        HourReason.Rain => $"rain",
        HourReason.RainSoon => $"rain too soon after",
        HourReason.RainBefore => $"rain not long enough ago",
        HourReason.Frost => $"frost within a day",
        HourReason.TooCold => $"too cold",
        HourReason.TooWarm => $"too warm",
        HourReason.WindHigh => $"too much wind",
        HourReason.WindLow => $"too little wind",
        HourReason.DeltaTLow => $"would not dry",
        HourReason.DeltaTHigh => $"drops would dry in flight",
        HourReason.HotDry => $"hot and dry",
        HourReason.Inversion => $"an inversion is possible",
        HourReason.Dark or HourReason.Missing => fault.Sentence,
    };
}
