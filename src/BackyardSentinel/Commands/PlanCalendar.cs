using System.Globalization;
using System.Text;
using BackyardSentinel.Spraying;

namespace BackyardSentinel.Commands;

/// <summary>
/// A plan as a calendar (RFC 5545): the best slots, the days by which something is due, and the days on which to look
/// for curl. An event keeps its UID from plan to plan, so that a calendar that takes in a newer plan moves it.
/// </summary>
public static class PlanCalendar
{
    private const int SlotsShown = 3, LongestLine = 75;

    /// <summary>The calendar, lines ending in CR and LF.</summary>
    public static string Write(PlanResult result)
    {
        var text = new StringBuilder();
        var (plan, site) = (result.Plan, result.Site);
        Line(text, "BEGIN:VCALENDAR");
        Line(text, "VERSION:2.0");
        Line(text, "PRODID:-//Backyard Sentinel//plan//EN");
        Line(text, "CALSCALE:GREGORIAN");
        Line(text, "METHOD:PUBLISH");
        foreach (var slot in plan.Slots.Where(slot => slot.Rank <= SlotsShown))
        {
            Event(
                text, plan, $"slot-{site.Id}-{slot.Planting}-{slot.Product}-{Stamp(slot.Start)}", $"DTSTART:{Stamp(slot.Start)}", $"DTEND:{Stamp(slot.End)}",
                $"{slot.Planting}: {slot.Product} could go on", $"Rank {slot.Rank.ToString(CultureInfo.InvariantCulture)}. {string.Join("; ", slot.Reasons)}\nThe label is the law: where it differs, it holds.");
        }

        var season = result.Request.Ledger.SeasonOf(Weather.LocalDay.Of(plan.AsOf, site.Zone)).ToString(CultureInfo.InvariantCulture);
        foreach (var planting in plan.Plantings)
        {
            foreach (var due in planting.Due)
            {
                if (due.By is { } by)
                    Days(text, plan, $"due-{site.Id}-{planting.Planting}-{due.What.Replace(' ', '-')}-{season}", by, by, $"{planting.Planting}: {due.What}, last day", due.Why);
            }
        }

        foreach (var planting in result.Watch.Plantings)
        {
            foreach (var incubation in planting.Incubations)
            {
                var uid = $"scouting-{site.Id}-{planting.Planting.Id}-{Stamp(incubation.OpenedAt)}";
                Days(text, plan, $"{uid}-first", incubation.Possible, incubation.Possible, $"{planting.Planting.Id}: first look for curl", Scouting.ScoutingAdvice.HowToLook);
                Days(text, plan, $"{uid}-likely", incubation.LikelyFrom, incubation.LikelyTo, $"{planting.Planting.Id}: curl is likely to show now", Scouting.ScoutingAdvice.HowToLook);
            }
        }

        Line(text, "END:VCALENDAR");
        return text.ToString();
    }

    /// <summary>Whole days; in a calendar the end is the day after the last.</summary>
    private static void Days(StringBuilder text, SprayPlan plan, string uid, DateOnly first, DateOnly last, string summary, string description) =>
        Event(text, plan, uid, $"DTSTART;VALUE=DATE:{Stamp(first)}", $"DTEND;VALUE=DATE:{Stamp(last.AddDays(1))}", summary, description);

    private static void Event(StringBuilder text, SprayPlan plan, string uid, string start, string end, string summary, string description)
    {
        Line(text, "BEGIN:VEVENT");
        Line(text, $"UID:{uid}@backyard-sentinel");
        Line(text, $"DTSTAMP:{Stamp(plan.AsOf)}");
        Line(text, start);
        Line(text, end);
        Line(text, $"SUMMARY:{Escaped(summary)}");
        Line(text, $"DESCRIPTION:{Escaped(description)}");
        Line(text, "TRANSP:TRANSPARENT");
        Line(text, "END:VEVENT");
    }

    /// <summary>Text as RFC 5545, 3.3.11, wants it.</summary>
    internal static string Escaped(string text) => text
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
}
