using System.Text;
using BackyardSentinel.Commands;
using Ical.Net;
using Ical.Net.CalendarComponents;
using Xunit;

namespace BackyardSentinel.Tests.Commands;

/// <summary>The calendar, read by a general calendar library (Ical.Net) and measured against RFC 5545.</summary>
public sealed class PlanCalendarTests
{
    private static string Text(string scenario) => PlanRun.Run([.. PlanRun.Arguments(scenario), "--ics", "-"]).Output;

    private static List<CalendarEvent> Events(string scenario) => [.. Calendar.Load(Raw(scenario))!.Events];

    private static string Raw(string scenario) => Text(scenario).Replace("\n", "\r\n", StringComparison.Ordinal).Replace("\r\r", "\r", StringComparison.Ordinal);

    [Fact]
    public void A_calendar_library_reads_the_slots_with_their_times()
    {
        var slots = Events("peach-in-january").Where(one => one.Uid!.StartsWith("slot-south-wall-white-peach-winter-copper-", StringComparison.Ordinal)).ToList();
        Assert.Equal(3, slots.Count);
        var best = slots.Single(one => one.Description!.StartsWith("Rank 1. ", StringComparison.Ordinal));
        Assert.Equal(new DateTime(2027, 1, 23, 9, 0, 0, DateTimeKind.Utc), best.DtStart!.AsUtc);
        Assert.Equal(new DateTime(2027, 1, 23, 15, 0, 0, DateTimeKind.Utc), best.DtEnd!.AsUtc);
        Assert.Equal("white-peach: winter-copper could go on", best.Summary);
        Assert.Contains("; wind 2.9 to 3.2 m/s; ", best.Description!, StringComparison.Ordinal);
    }

    [Fact]
    public void A_deadline_is_a_whole_day()
    {
        var due = Events("southern-garden").Single(one => one.Uid!.StartsWith("due-", StringComparison.Ordinal));
        Assert.False(due.DtStart!.HasTime);
        Assert.Equal(new DateOnly(2027, 7, 23), due.DtStart.Date);
        Assert.Equal(new DateOnly(2027, 7, 24), due.DtEnd!.Date);
        Assert.Equal("due-south-wall-white-peach-late-winter-spray-2027@backyard-sentinel", due.Uid);
    }

    [Theory]
    [MemberData(nameof(PlanScenarioTests.Names), MemberType = typeof(PlanScenarioTests))]
    public void Uids_are_unique_and_stay_from_run_to_run(string scenario)
    {
        var uids = Events(scenario).Select(one => one.Uid).ToList();
        Assert.Equal(uids.Count, uids.Distinct().Count());
        Assert.Equal(Text(scenario), Text(scenario));
    }

    [Theory]
    [MemberData(nameof(PlanScenarioTests.Names), MemberType = typeof(PlanScenarioTests))]
    public void Lines_end_in_CR_LF_and_hold_at_most_75_octets(string scenario)
    {
        // RFC 5545, 3.1. The file is looked at as it was written.
        var file = Path.GetTempFileName();
        try
        {
            Assert.True(PlanRun.Run([.. PlanRun.Arguments(scenario), "--ics", file]).Code is ExitCode.Done or ExitCode.Findings);
            var text = Encoding.UTF8.GetString(File.ReadAllBytes(file));
            Assert.Equal(text.Count(sign => sign == '\n'), text.Split("\r\n").Length - 1);
            Assert.All(text.Split("\r\n"), line => Assert.InRange(Encoding.UTF8.GetByteCount(line), 0, 75));
            Assert.StartsWith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n", text, StringComparison.Ordinal);
            Assert.EndsWith("END:VCALENDAR\r\n", text, StringComparison.Ordinal);
        }
        finally
        {
            File.Delete(file);
        }
    }
}
