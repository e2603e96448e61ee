using System.Globalization;
using System.Text;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Commands.Replay;

/// <summary>Draws a season month by month, a column a day: wet-spell hours above, the highest level below.</summary>
public static class SeasonDrawing
{
    private const string Wet = " ▁▂▃▄▅▆▇█";

    /// <summary>Draws the months from the first change or spell to the end of the log.</summary>
    public static void Write(ReplayResult result, TextWriter output)
    {
        if (result.End is not { } end || result.Site.Plantings.Count == 0)
            return;
        var zone = result.Site.Zone;
        var levels = DailyLevels(result, zone, end);
        var wet = DailyWetHours(result.Spells, zone);
        if (levels.Count == 0)
            return;

        var tens = Enumerable.Range(1, 31).Select(d => d == 1 || d % 5 == 0 ? d.ToString("00", CultureInfo.InvariantCulture)[0] : ' ');
        output.WriteLine($"{"",14}{string.Join("", tens)}");
        output.WriteLine(
            $"{"day",14}{string.Join("", Enumerable.Range(1, 31).Select(d => d == 1 || d % 5 == 0 ? (char)('0' + (d % 10)) : ' '))}");
        var (first, last) = (levels.Keys.Min(), levels.Keys.Max());
        for (var month = new DateOnly(first.Year, first.Month, 1); month <= last; month = month.AddMonths(1))
        {
            var name = month.ToString("yyyy-MM", CultureInfo.InvariantCulture);
            output.WriteLine(
                $"{name} {"wet",-5} {Month(month, day => levels.ContainsKey(day) ? WetBar(wet.GetValueOrDefault(day)) : ' ')}");
            output.WriteLine($"{"",7} {"level",-5} {Month(month, day => levels.TryGetValue(day, out var level) ? level.Bar() : ' ')}");
        }

        output.WriteLine();
        output.WriteLine($"wet: hours inside a wet spell, {Wet[1]} up to 3 … {Wet[8]} 24");
        output.WriteLine(
            "level, the day's highest, ? where most of the day is unknown: "
                + string.Join(
                    "  ",
                    new[] { Level.Clear, Level.Building, Level.Possible, Level.Likely, Level.Severe, Level.Unknown }.Select(l =>
                        $"{l.Bar()} {l.Word()}")));
        output.WriteLine();
    }

    private static string Month(DateOnly month, Func<DateOnly, char> mark)
    {
        var line = new StringBuilder();
        for (var day = month; day.Month == month.Month; day = day.AddDays(1))
            line.Append(mark(day));
        return line.ToString().TrimEnd();
    }

    private static char WetBar(double hours) => hours <= 0 ? '·' : Wet[Math.Clamp((int)Math.Ceiling(hours / 3), 1, 8)];

    /// <summary>
    /// The highest level of any planting on each local day. A day of which more than half is unknown is unknown, unless a
    /// window was open on it: what was not seen is never drawn clear.
    /// </summary>
    private static Dictionary<DateOnly, Level> DailyLevels(ReplayResult result, TimeZoneInfo zone, DateTimeOffset end)
    {
        var days = new Dictionary<DateOnly, Level>();
        var unknown = new Dictionary<DateOnly, double>();
        foreach (var planting in result.Site.Plantings)
        {
            var level = Level.Clear;
            var from = result.Start ?? end;
            foreach (var change in result.Changes.Where(change => change.Planting == planting.Id))
            {
                Mark(days, zone, from, change.At, level);
                Add(unknown, zone, from, change.At, level);
                (level, from) = (change.To, change.At);
            }

            Mark(days, zone, from, end, level);
            Add(unknown, zone, from, end, level);
        }

        foreach (var (day, hours) in unknown)
        {
            if (days[day] < Level.Possible && hours > result.Site.Plantings.Count * 12)
                days[day] = Level.Unknown;
        }

        return days;
    }

    private static void Mark(Dictionary<DateOnly, Level> days, TimeZoneInfo zone, DateTimeOffset from, DateTimeOffset to, Level level)
    {
        var lastDay = LocalDay.Of(to > from ? to.AddTicks(-1) : to, zone);
        for (var day = LocalDay.Of(from, zone); day <= lastDay; day = day.AddDays(1))
            days[day] = days.TryGetValue(day, out var seen) && seen > level ? seen : level;
    }

    private static void Add(Dictionary<DateOnly, double> unknown, TimeZoneInfo zone, DateTimeOffset from, DateTimeOffset to, Level level)
    {
        if (level == Level.Unknown)
            AddHours(unknown, zone, from, to);
    }

    private static Dictionary<DateOnly, double> DailyWetHours(IReadOnlyList<WetSpell> spells, TimeZoneInfo zone)
    {
        var days = new Dictionary<DateOnly, double>();
        foreach (var spell in spells)
            AddHours(days, zone, spell.Start, spell.End);
        return days;
    }

    private static void AddHours(Dictionary<DateOnly, double> days, TimeZoneInfo zone, DateTimeOffset from, DateTimeOffset to)
    {
        for (var at = from; at < to;)
        {
            var next = LocalDay.EndOf(at, zone);
            var until = next < to ? next : to;
            var day = LocalDay.Of(at, zone);
            days[day] = days.GetValueOrDefault(day) + (until - at).TotalHours;
            at = until;
        }
    }
}
