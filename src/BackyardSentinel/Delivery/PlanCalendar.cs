using System.Globalization;
using System.Text;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Planning;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Delivery;

/// <summary>
/// A plan as a calendar (RFC 5545): the two best slots of each product, the last day of each spray that is due, and the
/// days on which to look for curl. An event's UID says which it is (first or second slot, which spray), not when it is,
/// and its SEQUENCE grows with the plan's moment: a calendar that takes in a newer plan moves what an older one said,
/// and what no longer holds is sent as cancelled.
/// </summary>
public static class PlanCalendar
{
    private const int SlotsShown = 2, LongestLine = 75;

    /// <summary>A week before the last day and the day before it, at nine o'clock.</summary>
    private static readonly string[] Alarms = ["-P6DT15H", "-PT15H"];

    /// <summary>The calendar, lines ending in CR and LF.</summary>
    /// <param name="result">The plan.</param>
    /// <param name="words">The words, by the site's clock.</param>
    public static string Write(PlanResult result, PageWords words)
    {
        var text = new StringBuilder();
        Line(text, "BEGIN:VCALENDAR");
        Line(text, "VERSION:2.0");
        Line(text, $"PRODID:-//Backyard Sentinel//plan//{words.Language.ToUpperInvariant()}");
        Line(text, "CALSCALE:GREGORIAN");
        Line(text, "METHOD:PUBLISH");
        Event[] events = [.. Slots(result, words), .. LastDays(result, words), .. Looks(result, words)];
        // A calendar holds something (RFC 5545, 3.6): where nothing is planned, that.
        if (events.All(one => one.IsCancelled))
            events = [Answer(result, words), .. events];
        foreach (var one in events)
            Write(text, result.Plan, one);
        Line(text, "END:VCALENDAR");
        return text.ToString();
    }

    /// <summary>The plan's one sentence, on its day.</summary>
    private static Event Answer(PlanResult result, PageWords words)
    {
        var today = Weather.LocalDay.Of(result.Plan.AsOf, result.Site.Zone);
        return Days(
            $"plan-{result.Site.Id}",
            today,
            today,
            words.Say(PlanAnswer.Of(result.Request, result.Plan)),
            words.Say(SpraySafety.InOneBreath));
    }

    /// <summary>One event a slot, for all plantings that share it; an oil has none, since it does not count against curl.</summary>
    private static IEnumerable<Event> Slots(PlanResult result, PageWords words)
    {
        var plan = result.Plan;
        foreach (var product in result.Request.Products.Where(product => product.Active.IsFungicide()))
        {
            var best = plan.DueSlots(result.Request).Where(slot => slot.Product == product.Id)
                .GroupBy(slot => (slot.Start, slot.End))
                .OrderByDescending(same => same.Max(slot => slot.Score)).ThenBy(same => same.Key.Start)
                .Take(SlotsShown).ToList();
            for (var rank = 1; rank <= SlotsShown; rank++)
            {
                var uid = string.Create(CultureInfo.InvariantCulture, $"slot-{result.Site.Id}-{product.Id}-{rank}");
                if (best.Count < rank)
                {
                    yield return Cancelled(result, words, uid, words.Say("calendar.no-slot", ("product", product.Name)));
                    continue;
                }

                var (same, first) = (best[rank - 1], best[rank - 1].First());
                yield return new Event(
                    uid,
                    $"DTSTART:{Stamp(first.Start)}",
                    $"DTEND:{Stamp(first.End)}",
                    words.Say(
                        "calendar.slot",
                        ("names", string.Join(", ", same.Select(slot => result.Request.Called(slot.Planting)))),
                        ("product", product.Name)))
                {
                    Description = $"{string.Join("; ", first.Why.Select(words.Say))}\n"
                        + $"{words.Say(SpraySafety.InOneBreath)}{Credit(plan, words)}",
                };
            }
        }
    }

    /// <summary>One event for each kind of spray, on the day of the tree that comes first.</summary>
    private static IEnumerable<Event> LastDays(PlanResult result, PageWords words)
    {
        var season = result
            .Request.Ledger.SeasonOf(Weather.LocalDay.Of(result.Plan.AsOf, result.Site.Zone))
            .ToString(CultureInfo.InvariantCulture);
        foreach (var task in Enum.GetValues<DueTask>().Where(DueTaskWords.IsSpray))
        {
            var what = words.Say(task.Said());
            var uid = $"due-{result.Site.Id}-{task.Word().Replace(' ', '-')}-{season}";
            var due = result
                .Plan.Plantings.SelectMany(
                    planting => planting.Due.Where(one => one.What == task && one.By is not null),
                    (planting, one) => (Planting: result.Request.Called(planting.Planting), one.Why, By: one.By!.Value))
                .OrderBy(one => one.By)
                .ToList();
            if (due.Count == 0)
            {
                yield return Cancelled(result, words, uid, words.Say("calendar.no-day", ("what", what)));
                continue;
            }

            var days = due.Select(one => words.Say(
                "calendar.due", ("name", one.Planting), ("day", words.Date(one.By)), ("why", words.Say(one.Why))));
            yield return Days(
                uid,
                due[0].By,
                due[0].By,
                words.Say(
                    "calendar.last-day",
                    ("names", string.Join(", ", due.Where(one => one.By == due[0].By).Select(one => one.Planting))),
                    ("what", what)),
                $"{string.Join('\n', days)}\n{words.Say(SpraySafety.InOneBreath)}"
            ) with
            {
                HasAlarm = true,
            };
        }
    }

    /// <summary>The days on which to look for curl, one event for all plantings that a window opened on at once.</summary>
    private static IEnumerable<Event> Looks(PlanResult result, PageWords words)
    {
        // Of one window, trees on which leaves came later have days of their own.
        foreach (var (same, i) in result.Watch.Plantings
            .SelectMany(planting => planting.Incubations, (planting, incubation) => (planting.Planting.Called, Incubation: incubation))
            .GroupBy(one => one.Incubation.OpenedAt)
            .SelectMany(window => window
                .GroupBy(one => one.Incubation.Possible)
                .OrderBy(days => days.Key)
                .Select((days, i) => (days, i))))
        {
            var (names, first) = (string.Join(", ", same.Select(one => one.Called)), same.First().Incubation);
            var uid = $"scouting-{result.Site.Id}-{Stamp(first.OpenedAt)}" + (i == 0 ? "" : FormattableString.Invariant($"-{i + 1}"));
            yield return Days(
                $"{uid}-first",
                first.Possible,
                first.Possible,
                words.Say("calendar.first-look", ("names", names)),
                words.Say(Scouting.ScoutingAdvice.HowToLook));
            yield return Days(
                $"{uid}-likely",
                first.LikelyFrom,
                first.LikelyTo,
                words.Say("calendar.likely", ("names", names)),
                words.Say(Scouting.ScoutingAdvice.HowToLook));
        }
    }

    private static string Credit(SprayPlan plan, PageWords words) => plan.Forecast is not { } forecast ? "" : "\n" + words.Say(
        "calendar.forecast",
        ("source", string.Join(", ", new[] { forecast.Source, forecast.Attribution, forecast.Licence }.OfType<string>())));

    /// <summary>Whole days; in a calendar the end is the day after the last.</summary>
    private static Event Days(string uid, DateOnly first, DateOnly last, string summary, string description) =>
        new(uid, $"DTSTART;VALUE=DATE:{Stamp(first)}", $"DTEND;VALUE=DATE:{Stamp(last.AddDays(1))}", summary) { Description = description };

    /// <summary>What an older plan may have said and this one does not.</summary>
    private static Event Cancelled(PlanResult result, PageWords words, string uid, string summary)
    {
        var today = Weather.LocalDay.Of(result.Plan.AsOf, result.Site.Zone);
        return Days(uid, today, today, summary, words.Say("calendar.cancelled")) with { IsCancelled = true };
    }

    private static void Write(StringBuilder text, SprayPlan plan, Event one)
    {
        Line(text, "BEGIN:VEVENT");
        Line(text, $"UID:{one.Uid}@backyard-sentinel");
        Line(text, $"DTSTAMP:{Stamp(plan.AsOf)}");
        // Minutes since 1970: it grows from plan to plan and needs no memory of the last one.
        Line(text, string.Create(CultureInfo.InvariantCulture, $"SEQUENCE:{plan.AsOf.ToUnixTimeSeconds() / 60}"));
        Line(text, one.Start);
        Line(text, one.End);
        Line(text, $"SUMMARY:{Escaped(one.Summary)}");
        Line(text, $"DESCRIPTION:{Escaped(one.Description)}");
        Line(text, $"STATUS:{(one.IsCancelled ? "CANCELLED" : "TENTATIVE")}");
        Line(text, "TRANSP:TRANSPARENT");
        foreach (var trigger in one.HasAlarm ? Alarms : [])
        {
            Line(text, "BEGIN:VALARM");
            Line(text, "ACTION:DISPLAY");
            Line(text, $"TRIGGER:{trigger}");
            Line(text, $"DESCRIPTION:{Escaped(one.Summary)}");
            Line(text, "END:VALARM");
        }

        Line(text, "END:VEVENT");
    }

    /// <summary>Text as RFC 5545, 3.3.11, wants it.</summary>
    internal static string Escaped(string text) => text
        .Replace('\u00a0', ' ')
        .Replace("\\", "\\\\", StringComparison.Ordinal)
        .Replace(";", "\\;", StringComparison.Ordinal)
        .Replace(",", "\\,", StringComparison.Ordinal)
        .Replace("\r", "", StringComparison.Ordinal)
        .Replace("\n", "\\n", StringComparison.Ordinal);

    /// <summary>A line folded after at most 75 octets (RFC 5545, 3.1), never within a character.</summary>
    private static void Line(StringBuilder text, string line)
    {
        var octets = 0;
        foreach (var rune in line.EnumerateRunes())
        {
            if (octets + rune.Utf8SequenceLength > LongestLine)
            {
                text.Append("\r\n ");
                octets = 1;
            }

            text.Append(rune.ToString());
            octets += rune.Utf8SequenceLength;
        }

        text.Append("\r\n");
    }

    private static string Stamp(DateTimeOffset at) => at.UtcDateTime.ToString("yyyyMMdd'T'HHmmss'Z'", CultureInfo.InvariantCulture);

    private static string Stamp(DateOnly day) => day.ToString("yyyyMMdd", CultureInfo.InvariantCulture);

    private sealed record Event(string Uid, string Start, string End, string Summary)
    {
        public string Description { get; init; } = "";

        public bool IsCancelled { get; init; }

        public bool HasAlarm { get; init; }
    }
}
