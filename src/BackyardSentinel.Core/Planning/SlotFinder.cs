using BackyardSentinel.Garden;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Planning;

/// <summary>
/// Finds and ranks stretches of fit hours. A slot's score is the sum of its best four hours (a garden's work; assumed).
/// An hour counts more when its Delta-T and its wind lie in the middle of their range and the longer it stays dry after
/// it, and half when anything speaks against it. Before the deadline it counts so much more that any timely slot comes
/// before any late one. Taking hours away never betters a slot.
/// </summary>
internal sealed class SlotFinder(PlanRequest request, PlanSpan span, Forecast forecast)
{
    /// <summary>Hours that a slot takes at least.</summary>
    public const int LeastHours = 2;

    private const int BestHours = 4, DryAheadMostH = 48;

    // The best late slot has 4 hours of quality 4; the worst timely one 2 hours of quality 0.5.
    private const int TimelyWeight = 20;
    private const double MiddleDeltaTC = (SprayLimits.GoodDeltaTMinC + SprayLimits.GoodDeltaTMaxC) / 2;

    private sealed record FitHour(ForecastHour Hour, IReadOnlyList<HourFault> Faults, double DeltaTC, int DryAfterH, double Quality)
    {
        public DateTimeOffset Start => Hour.Start;
    }

    /// <summary>The slots of one product on each planting, best first.</summary>
    public IEnumerable<SpraySlot> For(
        SprayProduct product,
        IEnumerable<(PlanPlanting Planting, IReadOnlyList<RefusedSpray> Refused)> plantings)
    {
        var fit = FitHours(product).ToList();
        foreach (var (planting, refused) in plantings)
        {
            var safe = planting.BudSwell is { } swell ? span.StartOf(swell.Early) : (DateTimeOffset?)null;
            var free = fit.Where(hour => !refused.Any(time => hour.Start < time.To && hour.Start.AddHours(1) > time.From));
            var slots = Stretches(free)
                .Select(hours => Slot(planting, product, hours, safe))
                .OrderByDescending(slot => slot.Score).ThenBy(slot => slot.Start);
            foreach (var (slot, index) in slots.Select((slot, index) => (slot, index)))
                yield return slot with { Rank = index + 1 };
        }
    }

    private IEnumerable<FitHour> FitHours(SprayProduct product)
    {
        var weather = request.WeatherFor(product, forecast.Hours);
        var label = product.Label;
        var (low, high) = (label.MinWindMs ?? SprayLimits.SteadyWindMs, label.MaxWindMs ?? SprayLimits.GentleWindMs);
        foreach (var hour in forecast.Hours.Where(hour => hour.Start >= span.AsOf && hour.Start.AddHours(1) <= span.Until))
        {
            var faults = weather.Judge(hour.Start);
            if (faults.Any(fault => fault.Blocks))
                continue;
            var deltaTC = weather.DeltaTC(hour.Start)!.Value;
            var dry = weather.DryHoursAfter(hour.Start, DryAheadMostH);
            var quality = 1 + Centred(deltaTC, SprayLimits.GoodDeltaTMinC, SprayLimits.GoodDeltaTMaxC)
                + Centred(hour.WindMs!.Value, low, high) + ((double)dry / DryAheadMostH);
            yield return new FitHour(hour, faults, deltaTC, dry, faults.Count > 0 ? quality / 2 : quality);
        }
    }

    /// <summary>1 in the middle of a range, 0 at its ends and beyond.</summary>
    private static double Centred(double value, double low, double high) =>
        high > low ? Math.Max(0, 1 - (Math.Abs(value - ((low + high) / 2)) / ((high - low) / 2))) : 0;

    private static IEnumerable<List<FitHour>> Stretches(IEnumerable<FitHour> hours)
    {
        var stretch = new List<FitHour>();
        foreach (var hour in hours)
        {
            if (stretch.Count > 0 && hour.Start != stretch[^1].Start.AddHours(1))
            {
                if (stretch.Count >= LeastHours)
                    yield return stretch;
                stretch = [];
            }

            stretch.Add(hour);
        }

        if (stretch.Count >= LeastHours)
            yield return stretch;
    }

    private SpraySlot Slot(PlanPlanting planting, SprayProduct product, List<FitHour> hours, DateTimeOffset? safe)
    {
        var score = hours
            .Select(hour => hour.Start < safe ? TimelyWeight * hour.Quality : hour.Quality)
            .OrderDescending()
            .Take(BestHours)
            .Sum();
        return new SpraySlot(
            planting.Id, product.Id, hours[0].Start, hours[^1].Start.AddHours(1), 0, score, [.. Reasons(planting, product, hours, safe)]);
    }

    private IEnumerable<Sentence> Reasons(PlanPlanting planting, SprayProduct product, List<FitHour> hours, DateTimeOffset? safe)
    {
        var units = request.Units;
        var drying = units.TemperatureDifference(hours.Min(hour => hour.DeltaTC), hours.Max(hour => hour.DeltaTC));
        yield return $"drying (Delta-T) {new Figure(drying)}, {new Figure(units.TemperatureDifference(MiddleDeltaTC))} is best";
        var wind = units.Wind(hours.Min(hour => hour.Hour.WindMs!.Value), hours.Max(hour => hour.Hour.WindMs!.Value));
        yield return $"wind {new Figure(wind)}";
        var dry = hours[^1].DryAfterH;
        yield return dry == DryAheadMostH ? (Sentence)$"dry for at least {dry} h after" : $"dry for {dry} h after";
        if (safe is not null)
        {
            var early = planting.BudSwell!.Early;
            yield return hours[0].Start < safe
                ? SpraySlot.Timely(early)
                : $"only after {early}, when buds may begin to swell: look at the buds first";
        }

        if (Foliage.MayBeInLeaf(planting, request.Ledger.SeasonStart(span.Today), span.Today))
            yield return $"no leaf fall is noted: wait until half to nearly all of the leaves are down";
        if (planting.Stage is null)
            yield return $"the bud stage is not known: look at the buds first";
        else if (product.Active.IsCopper() && SprayStage.BudsSwell(planting.Stage.Value))
            yield return $"buds swell: copper may hurt what is green and may come too late";

        foreach (var group in hours.SelectMany(hour => hour.Faults).GroupBy(fault => fault.Reason))
            yield return $"{group.First().Sentence} ({group.Count()} of {hours.Count} h)";
    }
}
