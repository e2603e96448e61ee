using BackyardSentinel.Garden;
using BackyardSentinel.Planning;
using BackyardSentinel.Weather;
using BackyardSentinel.Web.Drawing;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web.Spraying;

/// <summary>The hours of the coming days, product by product, with the reasons of those that are refused as footnotes.</summary>
internal static class SprayingTimetable
{
    /// <summary>So many reasons are named of one day: those that take most of it.</summary>
    private const int MostLetters = 3;

    /// <summary>The timetables; none without a forecast.</summary>
    public static IReadOnlyList<TimetableView> Of(SprayingScene scene)
    {
        var (request, plan) = (scene.Request, scene.Plan);
        if (plan.Forecast is not { } forecast)
            return [];
        var unfit = UnfitHours.Of(request, plan);
        List<TimetableView> tables = [];
        foreach (var product in request.Products.OrderBy(one => !one.Active.IsFungicide()))
        {
            var weather = request.WeatherFor(product, forecast.Hours);
            // Plantings with the very same hours share a table.
            foreach (var same in request.Plantings
                .Where(planting => !scene.IsRefused(planting, product))
                .GroupBy(
                    planting =>
                        string.Join(
                            ' ',
                            plan.Slots.Where(
                                slot =>
                                    slot.Planting == planting.Id && slot.Product == product.Id).Select(slot =>
                                        (slot.Start, slot.End, slot.Rank)))))
            {
                var planting = same.First().Id;
                tables.Add(Table(
                    scene,
                    !product.Active.IsFungicide(),
                    same.Count() == request.Plantings.Count
                        ? scene.Say("timetable", ("product", product.Name))
                        : scene.Say(
                            "timetable.on",
                            ("product", product.Name),
                            ("names", scene.Visit.Words.List([.. same.Select(one => one.Called)]))),
                    forecast,
                    weather,
                    [.. plan.Slots.Where(slot => slot.Planting == planting && slot.Product == product.Id)],
                    [
                        .. unfit.Where(one => one.Planting == planting && one.Product == product.Id),
                        .. plan.Refused.Where(one => one.Planting == planting && one.Product == product.Id),
                    ]));
            }
        }

        return tables;
    }

    private static TimetableView Table(
        SprayingScene scene,
        bool isAside,
        string title,
        Forecast forecast,
        SprayWeather weather,
        List<SpraySlot> slots,
        List<RefusedSpray> refused)
    {
        var (words, zone) = (scene.Visit.Words, scene.Request.Zone);
        List<Sentence> footnotes = [];
        List<TimetableDay> days = [];
        var until = forecast.Until < scene.Plan.Until ? forecast.Until : scene.Plan.Until;
        for (var day = words.DayOf(scene.Plan.AsOf); LocalDay.StartOf(day, zone) < until; day = day.AddDays(1))
        {
            var (start, end) = (LocalDay.StartOf(day, zone), LocalDay.StartOf(day.AddDays(1), zone));
            var ofDay = slots.Where(slot => slot.Start < end && slot.End > start).ToList();
            var bar = SprayDayBar.Draw([
                .. Joined(
                    forecast.Hours.Where(hour => hour.Start >= start && hour.Start < end).SelectMany(
                        hour => Kinds(hour, weather), (hour, what) => Stretch(hour.Start, hour.Start.AddHours(1), what))),
                .. ofDay.Select(slot => Stretch(slot.Start, slot.End, SprayHours.Fit)),
            ]);
            days.Add(new TimetableDay(
                words.Date(day, "spraying.timetable.date"),
                bar,
                [
                    .. ofDay.Where(slot => slot.Start >= start).Select(slot => (
                        scene.Say("hours", ("from", words.Clock(slot.Start)), ("to", words.Moment(slot.End, slot.Start))),
                        slot.Rank <= 3 ? scene.Say("choice." + words.Number(slot.Rank)) : "")),
                ],
                ofDay.Count > 0 ? "" : Letters(refused, start, end, footnotes)));

            SprayStretch Stretch(DateTimeOffset from, DateTimeOffset to, SprayHours what) =>
                new(HourOf(from), to >= end ? 24 : HourOf(to), what);

            double HourOf(DateTimeOffset at) => at <= start ? 0 : TimeZoneInfo.ConvertTime(at, zone).TimeOfDay.TotalHours;
        }

        return new TimetableView(isAside ? scene.Say("timetable.aside", ("title", title))
            : title, isAside, days, [.. footnotes.Select(words.Say)]);
    }

    /// <summary>Hours of one kind that follow each other, as one stretch.</summary>
    private static IEnumerable<SprayStretch> Joined(IEnumerable<SprayStretch> hours)
    {
        foreach (var same in hours.GroupBy(one => one.What))
        {
            SprayStretch? open = null;
            foreach (var hour in same.OrderBy(one => one.From))
            {
                if (open is { } stretch && hour.From <= stretch.To)
                {
                    open = stretch with { To = hour.To };
                    continue;
                }

                if (open is { } done)
                    yield return done;
                open = hour;
            }

            if (open is { } last)
                yield return last;
        }
    }

    private static IEnumerable<SprayHours> Kinds(ForecastHour hour, SprayWeather weather)
    {
        if (hour.RainMm > 0)
            yield return SprayHours.Rain;
        if (hour.TemperatureC < 0)
            yield return SprayHours.Frost;
        if (weather.Judge(hour.Start).Any(fault => fault is { Reason: HourReason.WindHigh, Blocks: true }))
            yield return SprayHours.Windy;
    }

    /// <summary>The letters of the reasons that take most of the day; the night is no reason where there is another.</summary>
    private static string Letters(List<RefusedSpray> refused, DateTimeOffset start, DateTimeOffset end, List<Sentence> footnotes)
    {
        var reasons = refused
            .SelectMany(one => one.Reason.Pieces, (one, reason) => (Reason: reason, Hours: Overlap(one, start, end)))
            .Where(one => one.Hours > 0)
            .GroupBy(one => one.Reason, one => one.Hours)
            .OrderBy(same => HourFault.IsOfNight(same.Key))
            .ThenByDescending(same => same.Sum())
            .Select(same => same.Key)
            .ToList();
        if (reasons.Exists(reason => !HourFault.IsOfNight(reason)))
            reasons.RemoveAll(HourFault.IsOfNight);
        foreach (var reason in reasons.Take(MostLetters).Where(reason => !footnotes.Contains(reason)))
            footnotes.Add(reason);
        return string.Join(' ', reasons.Take(MostLetters).Select(reason => (char)('a' + footnotes.IndexOf(reason))).Order());
    }

    private static double Overlap(RefusedSpray one, DateTimeOffset start, DateTimeOffset end) =>
        ((one.To < end ? one.To : end) - (one.From > start ? one.From : start)).TotalHours;
}
