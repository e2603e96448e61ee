using BackyardSentinel.Commands;
using BackyardSentinel.Spraying;
using Ical.Net.CalendarComponents;
using Calendar = Ical.Net.Calendar;

namespace BackyardSentinel.Tests.Commands;

/// <summary>The calendar, read by a general calendar library (Ical.Net) and measured against RFC 5545.</summary>
public sealed class PlanCalendarTests
{
    private static string Text(string scenario) => PlanRun.Run([.. PlanRun.Arguments(scenario), "--ics", "-"]).Output;

    private static List<CalendarEvent> Events(string scenario) => [.. Calendar.Load(Raw(scenario))!.Events];

    private static string Raw(string scenario) =>
        Text(scenario).Replace("\n", "\r\n", StringComparison.Ordinal).Replace("\r\r", "\r", StringComparison.Ordinal);

    [Fact]
    public void A_calendar_library_reads_one_event_for_each_of_the_two_best_slots()
    {
        var slots = Events("peach-in-january")
            .Where(one => one.Uid!.StartsWith("slot-", StringComparison.Ordinal))
            .OrderBy(one => one.Uid, StringComparer.Ordinal)
            .ToList();
        Assert.Equal(
            ["slot-south-wall-winter-copper-1@backyard-sentinel", "slot-south-wall-winter-copper-2@backyard-sentinel"],
            slots.Select(one => one.Uid));
        var best = slots[0];
        Assert.Equal(new DateTime(2027, 1, 23, 9, 0, 0, DateTimeKind.Utc), best.DtStart!.AsUtc);
        Assert.Equal(new DateTime(2027, 1, 23, 15, 0, 0, DateTimeKind.Utc), best.DtEnd!.AsUtc);
        Assert.Equal("white-peach, nectarine by the gate: blue-tub copper could go on", best.Summary);
        Assert.Contains("; wind 2.9 to 3.2 m/s; ", best.Description!, StringComparison.Ordinal);
        // The credit that the source asks for, and the cautions.
        Assert.EndsWith(
            "\nForecast: invented valley forecast, Invented for this test, none needed",
            best.Description,
            StringComparison.Ordinal);
        Assert.Contains(SpraySafety.InOneBreath.Text, best.Description, StringComparison.Ordinal);
        Assert.Equal("TENTATIVE", best.Status);
        // RFC 5545, 3.6.1: each event says when it was written.
        var written = new DateTime(2027, 1, 15, 7, 30, 0, DateTimeKind.Utc);
        Assert.All(Events("peach-in-january"), one => Assert.Equal(written, one.DtStamp!.AsUtc));
    }

    [Fact]
    public void Two_trees_and_two_products_give_few_events()
    {
        // Two slots and the last day; what is not due is there only as cancelled, for calendars that have it from an older plan.
        Assert.Equal(3, Events("peach-in-january").Count(one => one.Status != "CANCELLED"));
    }

    [Fact]
    public void A_last_day_is_a_whole_day_with_the_cautions_and_an_alarm_before_it()
    {
        var due = Events("southern-garden").Single(one => one.Uid!.StartsWith("due-south-wall-late-winter", StringComparison.Ordinal));
        Assert.False(due.DtStart!.HasTime);
        Assert.Equal(new DateOnly(2027, 7, 23), due.DtStart.Date);
        Assert.Equal(new DateOnly(2027, 7, 24), due.DtEnd!.Date);
        Assert.Equal("due-south-wall-late-winter-spray-2027@backyard-sentinel", due.Uid);
        Assert.Contains(SpraySafety.InOneBreath.Text, due.Description, StringComparison.Ordinal);
        Assert.Equal(2, due.Alarms.Count);
        Assert.All(due.Alarms, alarm => Assert.Equal(("DISPLAY", due.Summary), (alarm.Action, alarm.Description)));
        // Nine o'clock a week and a day before.
        Assert.Contains("BEGIN:VALARM\r\nACTION:DISPLAY\r\nTRIGGER:-P6DT15H\r\n", Raw("southern-garden"), StringComparison.Ordinal);
    }

    [Fact]
    public void A_newer_plan_moves_what_an_older_one_said_and_cancels_what_no_longer_holds()
    {
        var older = Events("peach-in-january");
        var arguments = PlanRun.Arguments("peach-in-january");
        arguments[Array.IndexOf(arguments, "--at") + 1] = "2027-01-15T15:30:00Z";
        var newer = Calendar
            .Load(
                PlanRun
                    .Run([.. arguments, "--ics", "-"])
                    .Output.Replace("\n", "\r\n", StringComparison.Ordinal)
                    .Replace("\r\r", "\r", StringComparison.Ordinal)
            )!
            .Events.ToList();
        Assert.Equal(older.Select(one => one.Uid), newer.Select(one => one.Uid));
        Assert.All(older.Zip(newer), pair => Assert.True(pair.Second.Sequence > pair.First.Sequence));

        var without = Calendar
            .Load(Raw("year-old-forecast"))!
            .Events.Where(one => one.Uid!.StartsWith("slot-", StringComparison.Ordinal))
            .ToList();
        Assert.Equal(2, without.Count);
        Assert.All(without, one => Assert.Equal("CANCELLED", one.Status));
    }

    [Theory]
    [MemberData(nameof(PlanScenarioTests.Names), MemberType = typeof(PlanScenarioTests))]
    public void No_calendar_is_without_something_that_stands(string scenario)
    {
        // RFC 5545, 3.6: at least one component.
        Assert.Contains(Events(scenario), one => one.Status == "TENTATIVE");
    }

    [Theory]
    [MemberData(nameof(PlanScenarioTests.Names), MemberType = typeof(PlanScenarioTests))]
    public void Uids_are_unique_and_stay_from_run_to_run(string scenario)
    {
        var uids = Events(scenario).Select(one => one.Uid).ToList();
        Assert.Equal(uids.Count, uids.Distinct().Count());
        Assert.Equal(Text(scenario), Text(scenario));
    }

    [Fact]
    public void It_takes_the_place_of_a_calendar_and_of_nothing_else()
    {
        var file = Path.GetTempFileName();
        try
        {
            string[] arguments = [.. PlanRun.Arguments(PlanRun.Scenarios.First()), "--ics", file];
            Assert.Equal("", File.ReadAllText(file));
            Assert.NotEqual(ExitCode.BadInput, PlanRun.Run(arguments).Code);
            var calendar = File.ReadAllText(file);
            Assert.NotEqual(ExitCode.BadInput, PlanRun.Run(arguments).Code);
            Assert.Equal(calendar, File.ReadAllText(file));

            File.WriteAllText(file, "sites:\n");
            Assert.StartsWith(
                $"--ics: {file} is there already and is no calendar; nothing was written. Name another file.",
                PlanRun.Run(arguments).Error,
                StringComparison.Ordinal);
            Assert.Equal("sites:\n", File.ReadAllText(file));

            // A store of years: longer than any array.
            using (var large = File.OpenWrite(file))
                large.SetLength(3L << 30);
            Assert.StartsWith($"--ics: {file} is there already and is no calendar", PlanRun.Run(arguments).Error, StringComparison.Ordinal);
            Assert.Equal(3L << 30, new FileInfo(file).Length);
        }
        finally
        {
            File.Delete(file);
        }
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
